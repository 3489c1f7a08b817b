#include "probes/snmp/oid.h"

#include <algorithm>
#include <charconv>

namespace frisket::snmp {

std::optional<Oid> Oid::parse(std::string_view dotted) {
  if (dotted.starts_with('.')) dotted.remove_prefix(1);
  Oid oid;
  const char* at = dotted.data();
  const char* const end = at + dotted.size();
  while (at != end) {
    std::uint32_t id = 0;
    const auto [after, error] = std::from_chars(at, end, id);
    if (error != std::errc{} || oid.size() == kMaxOidLength) return std::nullopt;
    oid.append(id);
    if (after == end) return oid;
    if (*after != '.') return std::nullopt;
    at = after + 1;
  }
  return std::nullopt;  // empty, or a dot at the end
}

std::strong_ordering compare(OidView a, OidView b) {
  return std::lexicographical_compare_three_way(a.begin(), a.end(), b.begin(), b.end());
}

bool starts_with(OidView oid, OidView prefix) {
  return oid.size() >= prefix.size() && std::equal(prefix.begin(), prefix.end(), oid.begin());
}

std::string to_text(OidView oid) {
  std::string text;
  text.reserve(oid.size() * 4);
  for (const auto id : oid) {
    if (!text.empty()) text += '.';
    text += std::to_string(id);
  }
  return text;
}

}  // namespace frisket::snmp
