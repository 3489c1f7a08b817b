// Witnesses that are heard when the conditions stand: they confirm or contradict, and decide nothing.
//
// The control panel's text (prtConsoleDisplayBufferText) is in the device's own language, so it only
// confirms what another witness has said. What speaks against a condition is kept with it as evidence:
// the rules in docs/incidents.md say who wins. Pure; any thread.
#pragma once

#include <vector>

#include "config/config.h"
#include "daemon/incidents/incident.h"
#include "probes/model/device.h"

namespace frisket::incidents {

void hear_console(std::vector<Condition>& conditions, const model::DeviceSnapshot& snapshot);

void hear_contradictions(std::vector<Condition>& conditions, const model::DeviceSnapshot& snapshot,
                         const config::Rules& rules);

}  // namespace frisket::incidents
