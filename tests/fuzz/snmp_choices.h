// A fuzzer's input as choices of what an agent answered.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <utility>

#include "probes/snmp/decode.h"
#include "probes/snmp/pdu.h"

namespace frisket::fuzz {

// Takes choices off the front of the input; zeros when it is used up.
class Choices {
 public:
  explicit Choices(std::span<const std::uint8_t> octets) : rest_(octets) {}

  bool used_up() const { return rest_.empty(); }

  std::uint8_t octet() {
    if (rest_.empty()) return 0;
    const auto value = rest_.front();
    rest_ = rest_.subspan(1);
    return value;
  }

  std::uint32_t number() {
    std::uint32_t value = 0;
    for (int i = 0; i < 4; ++i) value = value << 8U | octet();
    return value;
  }

  std::string text() {
    const std::size_t length = octet();
    const auto there = rest_.first(std::min(length, rest_.size()));
    rest_ = rest_.subspan(there.size());
    std::string value(there.begin(), there.end());
    value.resize(length);
    return value;
  }

  snmp::Value value() {
    using namespace snmp;
    switch (octet() % 12) {
      case 0:
        return Null{};
      case 1:
        return NoSuchInstance{};
      case 2:
        return Integer{static_cast<std::int32_t>(number())};
      case 3:
        return Counter32{number()};
      case 4:
        return Gauge32{number()};
      case 5:
        return TimeTicks{number()};
      case 6:
        return Counter64{std::uint64_t{number()} << 32U | number()};
      case 7:
      case 8:
        return Octets{text()};
      case 9:
        return Oid{1, 3, number()};
      case 10:
        return Opaque{octet()};
      default:
        return Integer{static_cast<std::int8_t>(octet())};  // small numbers: enumerations, -1 to -3
    }
  }

 private:
  std::span<const std::uint8_t> rest_;
};

// Any type in any cell of any table, up to three rows each.
inline snmp::RawReading reading_from(Choices& choices) {
  using namespace snmp;
  RawReading raw;
  for (auto& scalar : raw.scalars) scalar = choices.value();
  for (std::size_t i = 0; i < mib::tables.size(); ++i) {
    auto& table = raw.tables[i];
    table.complete = choices.octet() % 8 != 0;
    const int rows = choices.octet() % 4;
    for (std::int32_t row = 1; row <= rows; ++row) {
      Row cells{row, {}};
      for (std::size_t column = 0; column < mib::tables[i].columns.size(); ++column) {
        cells.cells.push_back(choices.value());
      }
      table.rows.push_back(std::move(cells));
    }
  }
  return raw;
}

}  // namespace frisket::fuzz
