// What the store hands to upkeep: histories as plain values, in order of time.
//
// Histories hold changes only: a value holds from its instant until the next sample's, except
// within the stretches in which nobody looked. Old parts may be thinned. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "probes/model/enums.h"
#include "probes/model/quantity.h"
#include "probes/model/time.h"

namespace frisket::upkeep {

using model::Milliseconds;
using model::WallTime;

struct Span {
  WallTime from;
  WallTime to;
  friend bool operator==(const Span&, const Span&) = default;
};

// One change of a device's impression counter as the device reports it: 32 bits, and it wraps.
struct CounterSample {
  WallTime at;
  std::uint32_t count = 0;
  bool thinned = false;  // samples between the one before and this one have been dropped
};

struct CounterHistory {
  std::vector<CounterSample> samples;
  std::vector<Span> unobserved;         // device silent, or daemon stopped; in order, not overlapping
  std::vector<WallTime> board_changes;  // the serial number changed at this instant
};

// One change of a supply's level.
struct LevelSample {
  WallTime at;
  model::Level level;
  model::Capacity capacity;
  // What the device had printed by then, counted on through wraps and resets (meter.h);
  // nothing where it has no counter.
  std::optional<double> impressions;
  bool after_gap = false;  // nobody looked just before: when it changed is not known
};

struct SupplyHistory {
  model::SupplyClass supply_class = model::SupplyClass::supply_that_is_consumed;
  std::string part;  // part number, empty where not known
  std::vector<LevelSample> samples;
};

// An incident as far as figures need it: still open ones have no end.
struct IncidentSpan {
  std::string kind;
  WallTime from;
  std::optional<WallTime> to;
  bool down = false;  // the device could not print meanwhile
};

}  // namespace frisket::upkeep
