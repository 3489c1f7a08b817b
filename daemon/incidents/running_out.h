// Whether a supply is running out, or a receptacle filling up, by the conditions of its device. Pure; any thread.
#pragma once

#include <cstdint>
#include <vector>

#include "daemon/incidents/incident.h"

namespace frisket::incidents {

// `supply` is a prtMarkerSuppliesIndex.
bool is_running_out(std::int32_t supply, const std::vector<Condition>& conditions);

}  // namespace frisket::incidents
