// What a visit could do at each device: mend what is broken, replace what will run out, service what is due.
//
// Values in, the candidates of a round out (round.h). Pure; any thread.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/outlook.h"
#include "daemon/upkeep/round.h"
#include "probes/model/severity.h"
#include "probes/model/subunit.h"

namespace frisket::upkeep {

// Something broken that nobody has put aside.
struct Trouble {
  std::string incident;  // its id
  std::string summary;
  model::Severity severity = model::Severity::warning;
  model::Training training = model::Training::untrained;
  std::optional<std::int32_t> supply;  // index, where it is about one
  std::vector<std::string> cautions;
  std::vector<std::string> steps;
  std::vector<CarriedItem> carry;
};

struct VisitedDevice {
  std::string name;
  std::string location;  // as configured
  std::vector<Trouble> troubles;
  const DeviceOutlook* outlook = nullptr;  // null: nothing is known of what is to come
  std::span<const ServiceTask> tasks;      // that apply to it
};

// Minutes at the device, without the way there: common practice, no source.
double minutes_for(model::Training training);
inline constexpr double kMinutesForSupply = 5;

// A supply that is used up before the next visit with less than this is left for that one.
inline constexpr double kLeastChance = 0.05;

// Without those where there is nothing to do. A supply that an open trouble is about is not named twice.
std::vector<RoundStop> stops_of(std::span<const VisitedDevice> devices, WallTime now, WallTime next_visit);

}  // namespace frisket::upkeep
