// One device's night: from its raw histories to its use forecast and the dates of its supplies.
//
// This is the order in which the parts of this layer belong together; the daemon and the quality
// program both go through here. While a device is silent, the forecast is that of the moment
// it was last seen, as nobody knows what it has printed since. Pure; any thread.
#pragma once

#include <optional>
#include <vector>

#include "daemon/upkeep/depletion.h"
#include "daemon/upkeep/meter.h"

namespace frisket::upkeep {

struct DeviceHistory {
  CounterHistory counter;  // empty samples: the device has no counter
  // Their samples' impressions are filled in here, whatever they hold.
  std::vector<SupplyHistory> supplies;
};

// Known for the site (season, course) and for the fleet (priors: per supply, in order; may be empty).
struct Surroundings {
  std::optional<Season> season;
  std::optional<SiteCourse> course;
  std::vector<std::optional<PartPrior>> priors;
};

struct DeviceForecast {
  WallTime seen;  // what it is the forecast of: `now`, or when the device was last heard
  MeteredUse metered;
  std::vector<DayUse> days;  // whole days up to `seen`
  std::optional<UseModel> model;
  std::optional<UseForecast> use;           // nothing without a counter or with too few days
  std::vector<DepletionForecast> supplies;  // in order; dates never before `now`
};

DeviceForecast forecast_device(DeviceHistory history, const Calendar& calendar, const Surroundings& around,
                               WallTime now);

// Fills in the samples' impressions: what had been printed by then. Both are in order of time.
void count_at_levels(SupplyHistory& supply, const MeteredUse& use);
// The device's whole days up to when it was last seen; what season_of and site_course pool.
std::vector<DayUse> whole_days(const MeteredUse& use, const Calendar& calendar, WallTime seen);
// `now`, or the beginning of the unobserved stretch that `now` lies in.
WallTime last_seen(const CounterHistory& history, WallTime now);

}  // namespace frisket::upkeep
