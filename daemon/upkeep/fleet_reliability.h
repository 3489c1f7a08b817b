// How reliable each device has been lately, beside the rest of its fleet. Pure; any thread.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/outlook.h"
#include "daemon/upkeep/reliability.h"

namespace frisket::upkeep {

// An incident of a device as the store has it.
struct PastIncident {
  std::string device;
  std::string kind;
  bool down = false;  // critical: the device could not print meanwhile
  WallTime from;
  std::optional<WallTime> to;  // nothing: still open
};

struct DeviceReliability {
  std::string device;
  std::int64_t jams = 0;
  double sheets = 0;             // impressions stand for them: the standard counter knows no others
  std::optional<JamFigure> jam;  // nothing without sheets
  Availability availability;
};

struct KindReliability {
  std::string kind;
  RepairFigures figures;
};

struct FleetReliability {
  Span window;
  std::map<std::string, DeviceReliability> devices;  // by name
  std::vector<KindReliability> kinds;                // in order of kind; of the fleet as a whole
};

// Over the last kLately.
FleetReliability fleet_reliability(const Outlook& outlook, std::span<const PastIncident> incidents, WallTime now);

}  // namespace frisket::upkeep
