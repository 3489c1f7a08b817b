// What an agent's value says, whatever type it chose to say it in. Pure; any thread.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>

#include "probes/snmp/pdu.h"

namespace frisket::snmp {

// The agent's choice among the numeric types is not held against it as long as the value is one
// that the object may have (many serve counters as INTEGER and the reverse; common practice, no
// source). Nothing for what is no number.
std::optional<std::int64_t> number_in(const Value& value);

template <class T>
std::optional<T> number_as(const Value& value) {
  const auto number = number_in(value);
  if (!number || *number < std::numeric_limits<T>::min() || *number > std::numeric_limits<T>::max()) {
    return std::nullopt;
  }
  return static_cast<T>(*number);
}

}  // namespace frisket::snmp
