// Instants, as values that are handed in.
//
// WallTime is what people read and what the store keeps; SteadyTime is for intervals
// and deadlines. Neither has a now() here: only the clock (probes/clock) knows the
// time, everybody else is told. Pure; any thread.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace frisket::model {

using Milliseconds = std::chrono::milliseconds;
using WallTime = std::chrono::sys_time<Milliseconds>;
using SteadyTime = std::chrono::steady_clock::time_point;

// RFC 3339 in UTC with milliseconds: "2026-11-25T08:00:00.000Z".
std::string to_rfc3339(WallTime instant);

// Accepts any RFC 3339 date-time (any offset, any number of fraction digits, which
// are cut to milliseconds); nothing for anything else. A leap second (:60) counts
// as the first second of the next minute.
std::optional<WallTime> from_rfc3339(std::string_view text);

}  // namespace frisket::model
