#include "probes/snmp/values.h"

namespace frisket::snmp {

std::optional<std::int64_t> number_in(const Value& value) {
  if (const auto* integer = std::get_if<Integer>(&value)) return integer->value;
  if (const auto* gauge = std::get_if<Gauge32>(&value)) return gauge->value;
  if (const auto* counter = std::get_if<Counter32>(&value)) return counter->value;
  if (const auto* ticks = std::get_if<TimeTicks>(&value)) return ticks->value;
  if (const auto* wide = std::get_if<Counter64>(&value)) {
    if (wide->value <= static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max())) {
      return static_cast<std::int64_t>(wide->value);
    }
  }
  return std::nullopt;
}

}  // namespace frisket::snmp
