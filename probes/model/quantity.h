// Levels and capacities as the Printer MIB means them.
//
// The standard packs several meanings into one signed integer (RFC 3805 section 2.4 and
// the object texts of prtMarkerSuppliesLevel, prtInputCurrentLevel and their kin): a
// count, or -1 "other: no restriction", -2 "unknown", -3 "some left". Here each
// meaning is its own type, so that adding up "unknown" does not compile. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <variant>

namespace frisket::model {

struct Unlimited {  // -1: the subunit places no restriction
  friend bool operator==(Unlimited, Unlimited) = default;
};
struct Unknown {  // -2, or the object is missing
  friend bool operator==(Unknown, Unknown) = default;
};
struct SomeLeft {  // -3: at least one unit remains (of contents, or of room in a receptacle)
  friend bool operator==(SomeLeft, SomeLeft) = default;
};
struct Amount {  // 0 or more, in the row's own unit
  std::int32_t units = 0;
  friend bool operator==(Amount, Amount) = default;
};

using Level = std::variant<Unknown, Unlimited, SomeLeft, Amount>;
using Capacity = std::variant<Unknown, Unlimited, Amount>;

// Decodes a wire value. What the standard leaves undefined (below -3; for a capacity
// also -3) counts as unknown: a reading never fails for it, and never guesses.
Level decode_level(std::int32_t wire);
Capacity decode_capacity(std::int32_t wire);

// The count, where there is one.
std::optional<std::int32_t> amount_of(const Level& level);
std::optional<std::int32_t> amount_of(const Capacity& capacity);

// 100 * level / capacity, at most 100, where both are counts and the capacity is above
// zero; nothing otherwise (RFC 3805, prtMarkerSuppliesLevel). For a receptacle that is
// filled this is the room left, as the standard has it.
std::optional<double> percent_of(const Level& level, const Capacity& capacity);

}  // namespace frisket::model
