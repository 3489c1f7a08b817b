// The year's course of a site's printing, by ISO week, pooled over its devices.
//
// One device's year is too noisy to tell a quiet August from chance; a site's devices together
// show term and vacation. The pooled factor is drawn towards 1 as far as the scatter between the
// devices (or, for one device, its weeks) says that it could be chance. Pure; any thread.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/meter.h"

namespace frisket::upkeep {

struct Season {
  std::array<double, 54> factor{};  // by ISO week 1 to 53; mean near 1
  double of(LocalDay day) const { return factor[static_cast<std::size_t>(iso_week_of(day).week)]; }
};

// Nothing unless some device has more than a year (380 days) of history.
std::optional<Season> season_of(std::span<const std::vector<DayUse>> devices, const Calendar& calendar);

}  // namespace frisket::upkeep
