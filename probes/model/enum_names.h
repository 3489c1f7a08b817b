// What every enumeration of the standards has in common here.
//
// Each one is a scoped enumeration over std::int32_t, so that a value which no
// edition of the standard lists survives unchanged from the wire to the JSON:
// label() then gives "unknown(N)". Labels are the standard's own, in lower case
// with hyphens, as IPP writes keywords. tests/facts/enums.tsv holds the same
// numbers, extracted independently. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace frisket::model {

// One row of an enumeration as the standard lists it.
struct EnumName {
  std::int32_t value;
  std::string_view label;
};

// All rows the standard lists, in order of value. Specialised beside each enumeration.
template <class E>
std::span<const EnumName> listed();

// The listed label of a raw value, or nothing.
std::optional<std::string_view> find_label(std::span<const EnumName> rows, std::int32_t value);

// The label, or "unknown(N)" for a value that no edition lists.
std::string label_or_number(std::span<const EnumName> rows, std::int32_t value);

template <class E>
std::string label(E value) {
  return label_or_number(listed<E>(), static_cast<std::int32_t>(value));
}

}  // namespace frisket::model
