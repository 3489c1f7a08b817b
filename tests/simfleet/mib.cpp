#include "tests/simfleet/mib.h"

#include <algorithm>

namespace frisket::simfleet {

bool starts_with(OidView oid, OidView prefix) {
  return oid.size() >= prefix.size() && std::equal(prefix.begin(), prefix.end(), oid.begin());
}

void Mib::add(Oid oid, std::string encoded_value) {
  entries_.push_back({std::move(oid), {}, std::move(encoded_value), kConstant});
}

void Mib::add(Oid oid, Slot slot) {
  entries_.push_back({std::move(oid), {}, {}, static_cast<std::int32_t>(slots_.size())});
  slots_.push_back(slot);
}

void Mib::add_uptime(Oid oid) { entries_.push_back({std::move(oid), {}, {}, kUptime}); }

void Mib::add_object(Oid object) { objects_.push_back(std::move(object)); }

void Mib::remove(OidView prefix) {
  std::erase_if(entries_, [&](const Entry& entry) { return starts_with(entry.oid, prefix); });
  std::erase_if(objects_, [&](const Oid& object) { return starts_with(object, prefix); });
}

void Mib::finish() {
  std::sort(entries_.begin(), entries_.end(), [](const Entry& a, const Entry& b) { return a.oid < b.oid; });
  std::sort(objects_.begin(), objects_.end());
  objects_.erase(std::unique(objects_.begin(), objects_.end()), objects_.end());
  by_name_.reserve(entries_.size() * 2);
  for (auto& entry : entries_) {
    ber::append_oid(entry.name, entry.oid);
    by_name_.emplace(entry.name, &entry);
  }
}

const Mib::Entry* Mib::find(std::string_view name) const {
  const auto found = by_name_.find(name);
  return found == by_name_.end() ? nullptr : found->second;
}

std::size_t Mib::after(OidView oid) const {
  const auto less = [](OidView name, const Entry& entry) {
    return std::lexicographical_compare(name.begin(), name.end(), entry.oid.begin(), entry.oid.end());
  };
  return static_cast<std::size_t>(std::upper_bound(entries_.begin(), entries_.end(), oid, less) - entries_.begin());
}

bool Mib::implements(OidView oid) const {
  const auto less = [](OidView name, const Oid& object) {
    return std::lexicographical_compare(name.begin(), name.end(), object.begin(), object.end());
  };
  const auto above = std::upper_bound(objects_.begin(), objects_.end(), oid, less);
  return above != objects_.begin() && starts_with(oid, *std::prev(above));
}

}  // namespace frisket::simfleet
