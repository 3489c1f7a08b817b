// Conditions that no reading shows by itself: what they follow from is what was before.
//
// - tray-misload: a tray or cover that stays open, or opens again minutes after it was closed. A single
//   slipped sheet holds a tray that looks shut (common practice, no source).
// - jam-recurring: so many jams at one place within so long a time.
// Pure; any thread.
#pragma once

#include <vector>

#include "config/config.h"
#include "daemon/incidents/conditions.h"
#include "probes/model/device.h"

namespace frisket::incidents {

// Is, or was within the grace time, somebody at work on the device?
bool is_at_work(const DeviceMemory& memory, const config::Rules& rules, WallTime at);

// A cover, or a tray that is out.
bool stands_open(const Condition& condition);

// A jam that is there now.
bool is_jam(const Condition& condition);

// `now` are the reading's own conditions, with their `since`. Takes what is to be remembered for the
// next time from `before` and writes it to `after`.
std::vector<Condition> conditions_of_history(const std::vector<Condition>& now, const model::DeviceSnapshot& snapshot,
                                             const config::Rules& rules, const DeviceMemory& before, WallTime at,
                                             DeviceMemory& after);

// Whether the same reading can bring other conditions later.
bool waits_for_time(const DeviceMemory& memory);

}  // namespace frisket::incidents
