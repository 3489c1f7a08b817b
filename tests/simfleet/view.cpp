#include "tests/simfleet/view.h"

#include <algorithm>

namespace frisket::simfleet {

View::View(const Mib& mib, const Filled& filled, const std::vector<Extra>& extras, const std::vector<Oid>& hidden,
           bool shadowing, std::uint32_t uptime)
    : mib_(mib), filled_(filled), extras_(extras), hidden_(hidden), shadowing_(shadowing) {
  ber::append_unsigned(uptime_, uptime, ber::time_ticks);
}

std::string_view View::value_of(const Mib::Entry& entry) const {
  if (entry.slot >= 0) return filled_.at(static_cast<std::size_t>(entry.slot));
  return entry.slot == Mib::kUptime ? std::string_view(uptime_) : std::string_view(entry.value);
}

bool View::is_hidden(OidView oid) const {
  return std::any_of(hidden_.begin(), hidden_.end(), [&](const Oid& prefix) { return starts_with(oid, prefix); });
}

std::optional<std::string_view> View::find(std::string_view name) const {
  if (!shadowing_) {
    const auto* entry = mib_.find(name);
    if (entry != nullptr)
      return hidden_.empty() || !is_hidden(entry->oid) ? std::optional(value_of(*entry)) : std::nullopt;
  }
  for (const auto& extra : extras_) {
    if (extra.name == name) return is_hidden(extra.oid) ? std::nullopt : std::optional<std::string_view>(extra.value);
  }
  const auto* entry = shadowing_ ? mib_.find(name) : nullptr;
  if (entry == nullptr || is_hidden(entry->oid)) return std::nullopt;
  return value_of(*entry);
}

bool View::implements(OidView oid) const { return !is_hidden(oid) && mib_.implements(oid); }

// Which comes first at the cursor: negative the model's entry, positive the extra, 0 both have one name.
int View::order(Cursor cursor) const {
  if (cursor.extra == extras_.size()) return -1;
  if (cursor.entry == mib_.entries().size()) return 1;
  const auto& entry = mib_.entries()[cursor.entry].oid;
  const auto& extra = extras_[cursor.extra].oid;
  if (entry == extra) return 0;
  return entry < extra ? -1 : 1;
}

View::Cursor View::settle(Cursor cursor) const {
  if (hidden_.empty()) return cursor;
  while (cursor.entry < mib_.entries().size() && is_hidden(mib_.entries()[cursor.entry].oid)) ++cursor.entry;
  while (cursor.extra < extras_.size() && is_hidden(extras_[cursor.extra].oid)) ++cursor.extra;
  return cursor;
}

View::Cursor View::after(OidView oid) const {
  const auto less = [](OidView name, const Extra& extra) {
    return std::lexicographical_compare(name.begin(), name.end(), extra.oid.begin(), extra.oid.end());
  };
  const auto above = std::upper_bound(extras_.begin(), extras_.end(), oid, less);
  return settle({mib_.after(oid), static_cast<std::size_t>(above - extras_.begin())});
}

std::optional<View::Variable> View::at(Cursor cursor) const {
  if (cursor.entry == mib_.entries().size() && cursor.extra == extras_.size()) return std::nullopt;
  if (order(cursor) < 0) {
    const auto& entry = mib_.entries()[cursor.entry];
    return Variable{entry.name, value_of(entry)};
  }
  const auto& extra = extras_[cursor.extra];
  return Variable{extra.name, extra.value};
}

View::Cursor View::next(Cursor cursor) const {
  const int which = order(cursor);
  if (which <= 0) ++cursor.entry;
  if (which >= 0) ++cursor.extra;
  return settle(cursor);
}

}  // namespace frisket::simfleet
