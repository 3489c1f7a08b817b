// A part of a list, put together from items that are JSON already. Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>

#include "daemon/http/kept_form.h"
#include "daemon/http/pieces.h"
#include "daemon/http/revisions.h"
#include "daemon/http/selection.h"

namespace frisket::http {

// At most `limit` items that come after the item with the key `after`.
struct Window {
  std::size_t limit = 1000;
  std::string after;    // empty: from the start
  FieldNames fields{};  // of each item; none: all
};

struct Slice {
  Pieces items;                     // JSON objects with commas between them
  std::optional<std::string> next;  // the key to continue after; nothing at the end of the list
  std::uint64_t version = 0;        // of what the items say; 0: not told
};

// Collects items until the window is full; the item after that only tells that there is more.
class SliceBuilder {
 public:
  // The window must stay alive as long as the builder.
  explicit SliceBuilder(const Window& window) : window_(window) {}

  // False once the window is full.
  bool add(const KeptForm& item, const std::string& key, std::uint64_t revision) {
    if (count_ == window_.limit) {
      slice_.next = last_key_;
      versions_.add(0);  // of no item: the end of the list is elsewhere now
      return false;
    }
    if (window_.fields.empty()) {
      slice_.items.add(item.listed(), count_ == 0 ? 1 : 0);
    } else {
      if (count_ > 0) selected_ += ',';
      append_selected(selected_, item.object(), item.members(), window_.fields);
    }
    versions_.add(revision);
    last_key_ = key;
    ++count_;
    return true;
  }

  Slice take() {
    if (!selected_.empty()) slice_.items.add(std::move(selected_));
    slice_.version = versions_.number();
    return std::move(slice_);
  }

 private:
  const Window& window_;
  std::size_t count_ = 0;
  std::string last_key_;
  Versions versions_;
  std::string selected_;  // the items, where fields were asked for
  Slice slice_;
};

}  // namespace frisket::http
