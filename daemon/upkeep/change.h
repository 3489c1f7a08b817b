// What is kept of a device's past: one change at a time.
//
// A change holds from its instant until the next of its kind. What is restated (the same as before) adds nothing
// and may be dropped. Instants are whole seconds. recorder.h makes changes of readings, told_history.h makes
// histories of changes, weeks.h packs them by the week. Pure values; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "probes/model/enums.h"
#include "probes/model/quantity.h"
#include "probes/model/time.h"

namespace frisket::upkeep {

// The page counter, modulo 2^32: a single marker's counter wraps there by itself (Counter32, RFC 2578).
struct CountChange {
  std::uint32_t count = 0;
  bool thinned = false;                   // it had other values since the one before
  std::optional<std::uint32_t> colour{};  // how many of them in colour, where the device tells
  friend bool operator==(const CountChange&, const CountChange&) = default;
};

// The level of the supply of this prtMarkerSuppliesIndex, in the row's own unit.
struct LevelChange {
  std::int32_t supply = 0;
  model::Level level;
  model::Capacity capacity;
  friend bool operator==(const LevelChange&, const LevelChange&) = default;
};

// What the supply of this index is. Before its first level.
struct SupplyStated {
  std::int32_t supply = 0;
  model::SupplyClass supply_class = model::SupplyClass::other;
  model::SupplyType type = model::SupplyType::unknown;
  std::string colorant;
  std::string description;
  friend bool operator==(const SupplyStated&, const SupplyStated&) = default;
};

// The device's serial number; another one is another board.
struct SerialStated {
  std::string serial;
  friend bool operator==(const SerialStated&, const SerialStated&) = default;
};

// From then on nobody knows: the device was heard for the last time, or the daemon stopped.
struct Lost {
  friend bool operator==(const Lost&, const Lost&) = default;
};
// The device was heard again.
struct Heard {
  friend bool operator==(const Heard&, const Heard&) = default;
};

using WhatChanged = std::variant<CountChange, LevelChange, SupplyStated, SerialStated, Lost, Heard>;

struct Change {
  model::WallTime at;
  WhatChanged what;
  friend bool operator==(const Change&, const Change&) = default;
};

using Changes = std::vector<Change>;  // of one device

}  // namespace frisket::upkeep
