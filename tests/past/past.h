// An invented past of a printer: what a daemon would have kept of it, had it watched for so long. Every draw comes from
// the seed, so that the same past comes again. Invented data is for the demo and for measuring only.
#pragma once

#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "daemon/incidents/incident.h"
#include "daemon/upkeep/books.h"
#include "daemon/upkeep/change.h"
#include "daemon/upkeep/service_plan.h"

namespace frisket::past {

struct Supply {
  upkeep::SupplyStated stated;
  double percent = 50;  // now
  std::int32_t capacity = 100;
  double lasts = 6000;  // impressions of a whole one
};

struct Device {
  std::string name;
  std::string site;
  std::string serial;
  std::uint32_t impressions = 100'000;  // now
  double a_day = 300;                   // on a working day, about
  double jams_per_sheet = 1.0 / 8000;
  std::vector<Supply> supplies;
  std::vector<std::string> jam_places;  // the one that jams most first; none: no place is told
};

struct Past {
  upkeep::Changes changes;                // in order of time
  std::vector<incidents::Incident> jams;  // all cleared, without ids
};

// Of so many days up to `now`: a count for each hour from 8 to 18 on working days, so that counter and levels end with
// what the device shows now. Nothing is printed on Saturdays and Sundays, and little in the last week of December.
Past past_of(const Device& device, model::WallTime now, int days, std::mt19937_64& random);

// When somebody did the usual service in that time: about when it fell due, often a little late.
std::vector<upkeep::ServiceDone> services_of(const Device& device, upkeep::Marking marking, model::WallTime now,
                                             int days, std::mt19937_64& random);

}  // namespace frisket::past
