// What to do about a problem: cautions first, then the steps, then what to carry.
//
// The texts are in one place so that they can be reviewed together. They defer to the maker's
// manual, to local rules and to qualified service. Pure; any thread.
#pragma once

#include "daemon/incidents/causes.h"
#include "probes/model/device.h"

namespace frisket::incidents {

// `snapshot` is the device's last reading; null if it never answered.
Remedy remedy_for(const Problem& problem, const model::DeviceSnapshot* snapshot);

}  // namespace frisket::incidents
