// A device's changes by the week: putting in new ones, and thinning old ones.
//
// Every store keeps them in these portions, so that they are the same whatever is behind it. Pure; any thread.
#pragma once

#include "daemon/upkeep/change.h"

namespace frisket::upkeep {

// Weeks of seven days of 24 hours in UTC, counted from 1 January 1970. What is before the first of these (a clock that
// was never set) or after the last counts as theirs.
inline constexpr std::int64_t kFirstWeek = 2600;  // 31 October 2019
inline constexpr std::int64_t kLastWeek = kFirstWeek + 4095;
std::int64_t week_of(model::WallTime at);
model::WallTime start_of_week(std::int64_t week);

// Puts `more` into the changes of one week, in order of time, and leaves out what is only restated within it.
// Counts are all kept: that there was still the same count may matter.
void merge_into(Changes& week, Changes more);

// After this the counts of a week are thinned: to one an hour while something is printed.
inline constexpr std::chrono::weeks kThinnedAfter{9};

// Leaves out counts that another of the same hour follows, and levels that went back within six hours. What stands
// beside another change, begins after an idle hour or is the last of all stays, so what was printed is known to the
// hour, and to the second where a level fell.
void thin(Changes& week);

}  // namespace frisket::upkeep
