// The week's truth against what was told.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "daemon/incidents/alarm_load.h"
#include "play.h"

namespace frisket::week {

struct Verdict {
  std::size_t problems = 0;     // that a poll could show
  std::size_t brief = 0;        // of these, covers and trays opened for a moment
  std::size_t never_shown = 0;  // over before any poll (or before their grace)
  std::size_t incidents = 0;
  std::size_t raised_again = 0;  // the same incident, within the same problem
  std::size_t open_at_end = 0;
  std::vector<std::string> differences;  // each a sentence: device, time, kind
  incidents::LoadFigures load;           // at the end of Friday, 19:00
  double per_ten_busy_minutes = 0;       // raisings in the 60 busy hours
  std::size_t busy_peak = 0;
};

Verdict judge(const Plan& plan, const Played& played);

}  // namespace frisket::week
