// What to do about a problem: cautions first, then the steps, then what to carry.
//
// The words are in remedy_texts.cpp. Pure; any thread.
#pragma once

#include "daemon/incidents/causes.h"
#include "probes/model/device.h"

namespace frisket::incidents {

// `snapshot` is the device's last reading; null if it never answered.
Remedy remedy_for(const Problem& problem, const model::DeviceSnapshot* snapshot);

}  // namespace frisket::incidents
