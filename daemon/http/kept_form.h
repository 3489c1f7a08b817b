// An object's JSON as the board keeps it, for every answer that shows it.
//
// An answer that is being sent refers to the text for as long as that takes, so what it refers to never changes: a
// change makes another text. One thread.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>

#include "daemon/http/selection.h"
#include "daemon/json/forms.h"
#include "probes/model/time.h"

namespace frisket::http {

class KeptForm {
 public:
  KeptForm() = default;  // of nothing yet: not to be asked
  explicit KeptForm(const json::Json& object);

  // Valid until the next change.
  std::string_view object() const { return std::string_view(*text_).substr(1); }

  // The object behind a comma, as it stands in a list.
  std::shared_ptr<const std::string> listed() const { return text_; }

  // Of the object. Looked for when first asked for: few ask for some fields only, but those who do ask again.
  std::span<const Member> members() const;

  // Puts this time into "last_reading_at", the first key of that name. False if there is none, or it is null.
  bool set_last_reading(model::WallTime at);

 private:
  std::shared_ptr<std::string> text_;
  mutable std::vector<Member> members_;
  std::size_t time_place_ = 0;  // of the time's digits; 0: it is null
};

}  // namespace frisket::http
