// How busy a site as a whole has been of late, week by week, pooled over its devices.
//
// When a term ends, all devices of a site fall quiet in the same week. One device alone cannot tell
// that from chance for a month; eight together can at once. The course is relative to what
// the devices do on average (and to the season, where that is known). Pure; any thread.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/meter.h"
#include "daemon/upkeep/season.h"

namespace frisket::upkeep {

struct SiteCourse {
  LocalDay end{};             // the day after the last one known
  std::vector<double> weeks;  // relative use of the seven days before `end`, of the seven before those, ...

  // A past day's week; 1 before the first one.
  double of(LocalDay day) const;
  // What to expect `ahead` weeks (0 or more) after week `week` of `weeks` is over: the last two weeks
  // go on, and fade towards 1.
  double foretold(std::size_t week, double ahead) const;
};

// Nothing for fewer than three devices with six weeks of history.
std::optional<SiteCourse> site_course(std::span<const std::vector<DayUse>> devices, const Calendar& calendar,
                                      const std::optional<Season>& season = std::nullopt);

}  // namespace frisket::upkeep
