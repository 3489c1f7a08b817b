// The week of the invented botanical garden: its printers and what happens to them.
#pragma once

#include "config/config.h"
#include "truth.h"

namespace frisket::week {

Plan plan_of(std::uint64_t seed);

// As the daemon would be configured for it: every key at its default.
config::Config config_of(const Plan& plan);

}  // namespace frisket::week
