// What the daemon answers about reliability (docs/api.md), decoded into values.
//
// As answers.h. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "daemon/client/answers.h"

namespace frisket::client {

// Jams over sheets, of a device or a model. The limits are exact ones, of 95 %.
struct Jams {
  std::optional<std::int64_t> count;
  std::optional<std::int64_t> sheets;
  std::optional<double> rate;  // per 10,000 sheets; nothing without sheets
  std::optional<double> low;
  std::optional<double> high;
  bool worse = false;  // than the others, by more than chance explains
  bool better = false;
};

struct JamPlace {
  std::string place;  // "Tray 2"; empty: the device as a whole
  std::optional<std::int64_t> jams;
};

struct DeviceReliability {
  std::string device;
  std::string site;
  std::string maker;
  std::string model;
  Jams jams;
  std::vector<JamPlace> places;
  std::optional<double> availability;  // 0 to 1
  std::optional<double> observed_hours;
  std::optional<double> down_hours;
};

struct ModelReliability {
  std::string maker;
  std::string model;
  std::optional<std::int64_t> devices;
  Jams jams;
};

struct KindReliability {
  std::string kind;
  std::optional<std::int64_t> incidents;
  std::optional<std::int64_t> open;
  std::optional<double> mean_between_hours;
  std::optional<double> mean_repair_hours;
  std::optional<double> median_repair_hours;
};

struct Reliability {
  std::optional<WallTime> from;  // nothing: no figures have been made yet
  std::optional<WallTime> to;
  std::vector<DeviceReliability> devices;
  std::vector<ModelReliability> models;  // of the whole fleet
  std::vector<KindReliability> kinds;    // likewise
};

Result<Reliability> reliability_from(const Json& answer);

}  // namespace frisket::client
