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
  std::string place{};         // "Tray 2"; empty: the device as a whole
};

struct PlaceJams {
  std::string place;
  std::int64_t jams = 0;
  friend bool operator==(const PlaceJams&, const PlaceJams&) = default;
};

struct DeviceReliability {
  std::string device;
  model::Identity identity;
  std::int64_t jams = 0;
  std::vector<PlaceJams> places;  // where they were, the most first; nobody counts sheets by tray, so no rate
  double sheets = 0;              // impressions stand for them: the standard counter knows no others
  std::optional<JamFigure> jam;   // nothing without sheets
  Availability availability;
};

// All devices of one maker and model together.
struct ModelReliability {
  std::string maker;  // empty: not known
  std::string model;
  std::int64_t devices = 0;
  std::int64_t jams = 0;
  double sheets = 0;
  std::optional<JamFigure> jam;  // against the other models
};

struct KindReliability {
  std::string kind;
  RepairFigures figures;
};

struct FleetReliability {
  Span window;
  std::map<std::string, DeviceReliability> devices;  // by name
  std::vector<ModelReliability> models;              // in order of maker and model; of devices that tell theirs
  std::vector<KindReliability> kinds;                // in order of kind; of all these devices together
};

// Over the last kLately.
FleetReliability fleet_reliability(const Outlook& outlook, std::span<const PastIncident> incidents, WallTime now);

}  // namespace frisket::upkeep
