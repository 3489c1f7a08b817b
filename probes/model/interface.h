// A device's network interface: how it does, not what passes through.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "probes/model/enum_names.h"

namespace frisket::model {

// RFC 2863 ifOperStatus.
enum class InterfaceStatus : std::int32_t {
  up = 1,
  down = 2,
  testing = 3,
  unknown = 4,
  dormant = 5,
  not_present = 6,
  lower_layer_down = 7,
};

template <>
std::span<const EnumName> listed<InterfaceStatus>();

// IANAifType of the interface that leads nowhere.
inline constexpr std::int32_t kSoftwareLoopback = 24;

// One row of ifTable (RFC 2863). The counters are 32 bits wide and wrap; absent when not said.
struct Interface {
  std::int32_t index = 0;
  std::string description;
  std::int32_t type = 0;               // IANAifType
  std::optional<std::uint32_t> speed;  // bit/s; 4294967295: that or more
  InterfaceStatus status = InterfaceStatus::unknown;
  std::optional<std::uint32_t> in_discards;
  std::optional<std::uint32_t> in_errors;
  std::optional<std::uint32_t> out_discards;
  std::optional<std::uint32_t> out_errors;
  friend bool operator==(const Interface&, const Interface&) = default;
};

}  // namespace frisket::model
