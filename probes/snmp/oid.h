// Object identifiers, as sequences of sub-identifiers.
//
// OidView is a borrowed sequence: constants (printer_mib.h) and Oids both turn into
// it. Order is the one that GETNEXT walks in: lexicographic, a prefix first
// (RFC 3416 section 4.2.2). No net-snmp here. Pure values; any thread.
#pragma once

#include <boost/container/small_vector.hpp>
#include <compare>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace frisket::snmp {

using OidView = std::span<const std::uint32_t>;

// The most sub-identifiers of one name (RFC 2578 section 3.5).
inline constexpr std::size_t kMaxOidLength = 128;

class Oid {
 public:
  Oid() = default;
  Oid(OidView ids) : ids_(ids.begin(), ids.end()) {}
  Oid(std::initializer_list<std::uint32_t> ids) : ids_(ids.begin(), ids.end()) {}

  // "1.3.6.1.2.1.43"; a leading dot is allowed. Nothing for anything else.
  static std::optional<Oid> parse(std::string_view dotted);

  Oid& append(std::uint32_t id) {
    ids_.push_back(id);
    return *this;
  }

  OidView view() const { return {ids_.data(), ids_.size()}; }
  operator OidView() const { return view(); }
  std::size_t size() const { return ids_.size(); }
  bool empty() const { return ids_.empty(); }

  friend bool operator==(const Oid&, const Oid&) = default;

 private:
  // A cell of the Printer MIB has 13 sub-identifiers: longer ones are rare enough to allocate.
  boost::container::small_vector<std::uint32_t, 16> ids_;
};

std::strong_ordering compare(OidView a, OidView b);
bool starts_with(OidView oid, OidView prefix);
std::string to_text(OidView oid);  // "1.3.6.1"; empty for none

}  // namespace frisket::snmp
