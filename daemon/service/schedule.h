// When a device is asked next. Pure.
#pragma once

#include <cstdint>
#include <string_view>

#include "config/config.h"
#include "daemon/incidents/correlator.h"
#include "probes/model/time.h"

namespace frisket::service {

using Span = model::SteadyTime::duration;

// The first poll after a start or a reload: device `number` of the list (from 0) begins a
// little after the one before, so that a fleet does not all answer in one instant.
Span first_delay(std::size_t number);

// How closely a device is watched.
enum class Pace {
  usual,
  attention,  // something is wrong with it, or somebody is at work on it: the cure should be seen soon
  silent,     // it has not answered for long
};

// A stop or an open cover: somebody waits for the cure, or is at it now. A cartridge that has been low for
// weeks is no reason to ask more often.
Pace pace_for(const incidents::DeviceStatus& status);

Span interval_of(const config::Device& device, Pace pace);

// Polls keep a fixed beat, shifted for each device by its name, so that thousands of
// devices with one interval spread evenly over it and a restart spreads them the same way.
// The next poll is the first beat after `now`, but never sooner than half an interval
// after `last_start`. A poll that took longer than an interval skips the beats it missed.
struct Beat {
  Span interval;
  Span phase;  // in [0, interval)
};

Beat beat_of(std::string_view device, Span interval);
model::SteadyTime next_due(const Beat& beat, model::SteadyTime last_start, model::SteadyTime now);

}  // namespace frisket::service
