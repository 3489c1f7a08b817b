// A supply that was replaced, as a record. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "probes/model/time.h"

namespace frisket::incidents {

struct Replacement {
  std::string device;
  std::int32_t supply = 0;               // prtMarkerSuppliesIndex
  std::string description;               // of the new one, as the device names it
  std::string colorant;                  // may be empty
  model::WallTime at;                    // of the reading that first showed it
  std::optional<double> percent_before;  // nothing: not known
  std::optional<double> percent_after;
  std::optional<std::uint64_t> impressions;
  friend bool operator==(const Replacement&, const Replacement&) = default;
};

}  // namespace frisket::incidents
