// How a device met its polls, and what follows from it.
//
// - device-silent, device-refused and their like: so many polls in a row missed.
// - cable-suspect: interruptions that come and go, or interface errors that grow, on a device that answers
//   in between. Common practice, no source.
// Pure; any thread.
#pragma once

#include <optional>
#include <string>

#include "config/config.h"
#include "daemon/incidents/conditions.h"

namespace frisket::incidents {

inline constexpr std::chrono::hours kCableWindow{1};
inline constexpr int kInterruptions = 4;                // within the window, and ...
inline constexpr int kPollsPerInterruption = 20;        // ... at least one for so many polls
inline constexpr std::uint64_t kInterfaceErrors = 100;  // more than at the start of the window

// `counts`: whether a first miss counts as an interruption; it does not when the whole site is away.
void note_missed(ReachMemory& memory, model::Reach reach, std::string detail, WallTime at, bool counts);
void note_answered(ReachMemory& memory, const model::DeviceSnapshot& snapshot, WallTime at);

// The present silence is no interruption of its own: the whole site is silent.
void forget_interruption(ReachMemory& memory);

// That it has not answered; `missed` is above 0.
Condition missed_condition(const ReachMemory& memory);

// `open`: the incident is raised, and goes on until the window has passed without trouble.
std::optional<Condition> cable_condition(const ReachMemory& memory, const config::Device& device, bool open,
                                         WallTime at);

}  // namespace frisket::incidents
