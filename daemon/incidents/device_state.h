// A device's state in one word. Pure; any thread.
#pragma once

#include <vector>

#include "daemon/incidents/correlator.h"

namespace frisket::incidents {

// Of a device that answers. Stopped: it says so itself or a critical condition does; attention:
// somebody has to act; busy: printing, warming up or under test.
DeviceState state_of(const model::DeviceSnapshot& snapshot, const std::vector<Condition>& conditions);

}  // namespace frisket::incidents
