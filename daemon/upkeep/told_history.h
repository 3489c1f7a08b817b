// From a device's kept changes to the histories that the figures are made of. Pure; any thread.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/change.h"
#include "daemon/upkeep/device_forecast.h"

namespace frisket::upkeep {

struct ToldSupply {
  SupplyStated what;     // as it was stated last
  std::string part;      // the part number in its description; empty: none
  WallTime stated_at{};  // when it was last stated, or its level; an older one may be gone (recorder.h)
};

struct ToldHistory {
  DeviceHistory history;
  std::vector<ToldSupply> supplies;  // as history.supplies, in order of index
  std::string serial;
  std::optional<WallTime> begin;  // of the first change; nothing without any
  CounterHistory colour;          // of the impressions in colour; no samples where the device does not tell them
};

// `changes` in order of time. Where a supply of another type, class or colorant takes the place of one, its history
// begins anew. A device that is lost at the end is unobserved from then on.
ToldHistory told_history(std::span<const Change> changes);

}  // namespace frisket::upkeep
