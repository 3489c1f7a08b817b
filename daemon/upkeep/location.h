// Where a device stands, as its configured location says, and the way on foot between two of them.
//
// Values in, values out. Pure; any thread.
#pragma once

#include <string>

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

// A location as it is compared, upper and lower case alike: made once, since thousands are compared many times.
struct Spot {
  explicit Spot(const Location& location);
  std::string building;
  int floor;
  std::string place;
};

// The order of a walk: by building, then floor upwards, then place, numbers by value ("room 9" before "room 12").
// Negative: `a` is walked before `b`; 0: they are the same spot.
int order_of(const Spot& a, const Spot& b);

// Minutes on foot between two places: common practice, no source.
struct Walking {
  double between_buildings = 8;
  double per_floor = 2;
  double same_floor = 1.5;
};
double minutes_between(const Spot& a, const Spot& b, const Walking& walking = {});

}  // namespace frisket::upkeep
