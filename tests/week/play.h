// Plays a week: polls as the daemon would, and gives what they bring to the correlator.
#pragma once

#include <vector>

#include "daemon/incidents/correlator.h"
#include "plan.h"
#include "sight.h"
#include "watcher.h"

namespace frisket::week {

struct Played {
  std::vector<incidents::Transition> told;
  std::vector<Sight> sights;
  RawChanges raw;
  std::int64_t polls = 0;
  std::int64_t missed = 0;
  std::int64_t lost = 0;             // of these, answers that the network dropped
  std::vector<std::string> unheard;  // acknowledgements for which there was no incident
};

Played play(const Plan& plan, std::uint64_t seed);

}  // namespace frisket::week
