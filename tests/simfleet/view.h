// One device's objects at one instant: its model's list (mib.h), its own slots, and the
// rows that come and go (alerts, and what a test has set) merged in order.
//
// A View borrows from a Device and is valid until that device changes.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tests/simfleet/mib.h"

namespace frisket::simfleet {

// An object that only this device has, or has otherwise than its model says.
struct Extra {
  Oid oid;
  std::string name;   // encoded
  std::string value;  // encoded
};

// The slots' encoded values, one after the other.
struct Filled {
  std::string bytes;
  std::vector<std::uint32_t> ends;  // one per slot

  std::string_view at(std::size_t slot) const {
    const std::size_t begin = slot == 0 ? 0 : ends[slot - 1];
    return std::string_view(bytes).substr(begin, ends[slot] - begin);
  }
};

class View {
 public:
  // A place in the merged order. End is where at() gives nothing.
  struct Cursor {
    std::size_t entry = 0;
    std::size_t extra = 0;
  };
  struct Variable {
    std::string_view name;   // encoded
    std::string_view value;  // encoded
  };

  // extras are sorted; hidden are prefixes whose objects this device lacks; shadowing says that an
  // extra may have the name of an object of the model.
  View(const Mib& mib, const Filled& filled, const std::vector<Extra>& extras, const std::vector<Oid>& hidden,
       bool shadowing, std::uint32_t uptime);

  // The encoded value of the object with exactly this encoded name.
  std::optional<std::string_view> find(std::string_view name) const;
  bool implements(OidView oid) const;

  // For agents that remember where names were found: the model's list, and whether every entry of
  // it holds here just as it stands (nothing set by a test, nothing hidden).
  const Mib& mib() const { return mib_; }
  bool plain() const { return !shadowing_ && hidden_.empty(); }
  std::string_view value_of(const Mib::Entry& entry) const;

  Cursor after(OidView oid) const;
  std::optional<Variable> at(Cursor cursor) const;
  Cursor next(Cursor cursor) const;

 private:
  bool is_hidden(OidView oid) const;
  Cursor settle(Cursor cursor) const;
  int order(Cursor cursor) const;

  const Mib& mib_;
  const Filled& filled_;
  const std::vector<Extra>& extras_;
  const std::vector<Oid>& hidden_;
  bool shadowing_;
  std::string uptime_;
};

}  // namespace frisket::simfleet
