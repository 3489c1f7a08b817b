// One technician's visit: where to go, in walking order, what to do there, what to carry.
//
// Each task has minutes and a value: what it is worth to have it done now and not at the next
// visit. Tasks are taken by value per minute, the walk they cost included, until the time
// is used up; what is left says so. Values in, plan out. Pure; any thread.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/depletion.h"
#include "daemon/upkeep/service_plan.h"
#include "probes/model/severity.h"

namespace frisket::upkeep {

// A configured location read as a path: "Herbarium, first floor, room 12".
struct Location {
  std::string building;
  int floor = 0;  // 0 ground, -1 basement
  std::string place;
  friend bool operator==(const Location&, const Location&) = default;
};

// Pieces between commas: the first is the building, one that names a floor ("ground floor",
// "first floor", "2nd floor", "floor 3", "basement") is the floor, the rest is the place.
Location location_from(const std::string& text);

// The order of a walk: by building, then floor upwards, then place, numbers by value ("room 9"
// before "room 12"), upper and lower case alike.
bool walks_before(const Location& a, const Location& b);

// Minutes on foot between two places: common practice, no source.
struct Walking {
  double between_buildings = 8;
  double per_floor = 2;
  double same_floor = 1.5;
};
double minutes_between(const Location& a, const Location& b, const Walking& walking = {});

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

RoundPlan plan_round(std::span<const RoundStop> candidates, const RoundLimits& limits);

}  // namespace frisket::upkeep
