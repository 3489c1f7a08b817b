// One technician's visit: where to go, in walking order, what to do there, what to carry.
//
// Each task has minutes and a value: what it is worth to have it done now and not at the next
// visit. Tasks are taken by value per minute, the walk they cost included, until the time
// is used up; what is left says so. Values in, plan out. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/upkeep/depletion.h"
#include "daemon/upkeep/location.h"
#include "daemon/upkeep/service_plan.h"
#include "probes/model/severity.h"

namespace frisket::upkeep {

struct CarriedItem {
  std::string part;
  std::string maker;
  std::string colorant;
  int count = 1;
  friend bool operator==(const CarriedItem&, const CarriedItem&) = default;
};

struct RoundTask {
  std::string key;  // of its own among the round's
  // What ticking it off refers to: an open incident, a task of the service plan (service_id()), or neither.
  std::string incident{};
  std::string service{};
  std::optional<model::Severity> severity{};  // of the incident
  std::optional<std::int32_t> supply{};       // index of the supply that it is about
  std::string title;                          // "Replace the black toner"
  double minutes = 10;
  double value = 0;
  std::string why;  // "runs out before the next visit with 82 %"
  std::vector<std::string> cautions;
  std::vector<std::string> steps;
  std::vector<CarriedItem> carry;
};

struct RoundStop {
  std::string device;
  Location location;
  std::vector<RoundTask> tasks;  // the most valuable first
};

// What the parts of the day's work are worth, in points (an open critical incident: 100). They
// only set an order; common practice, no source.
double value_of(model::Severity open_incident);
double value_of(const TaskStatus& service);
// Chance that the supply is used up before `next_visit`, from its three dates; 0 without dates.
double chance_before(const DepletionForecast& forecast, WallTime now, WallTime next_visit);
inline constexpr double kEmptySupply = 40;  // points for certainly running out before the next visit

struct RoundLimits {
  std::optional<double> minutes;  // nothing: whatever has any value
  double least_value = 1;         // what is worth less is left for another time
  Walking walking;
  std::optional<Location> start;  // where the walk begins and ends; nothing: at the first stop
};

struct RoundPlan {
  std::vector<RoundStop> stops;    // in walking order
  std::vector<RoundStop> left;     // what can wait or does not fit, in the same order
  std::vector<CarriedItem> carry;  // summed over the stops
  double minutes = 0;              // walking included
  double walking_minutes = 0;
  double value = 0;
};

RoundPlan plan_round(std::vector<RoundStop> candidates, const RoundLimits& limits);

}  // namespace frisket::upkeep
