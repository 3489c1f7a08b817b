// Instants in the reader's words: "08:12, 25 min".
//
// The time zone is handed in, so that tests need none installed. Pure but for
// system_zone(); any thread.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "probes/model/time.h"

namespace frisket::client {

using model::WallTime;

// What to add to UTC at an instant to get local time.
using Zone = std::function<std::chrono::seconds(WallTime)>;

// The zone that TZ or the machine names, as the C library knows it.
Zone system_zone();

// "08:12" on the same local day as `now`, "Mon 08:12" within the six days before it, else "2026-11-03 08:12".
std::string local_moment(WallTime instant, WallTime now, const Zone& zone);

// "08:12:31", with the day in front as local_moment() has it.
std::string local_moment_with_seconds(WallTime instant, WallTime now, const Zone& zone);

// "Fri 2026-11-27".
std::string local_date(WallTime instant, const Zone& zone);

// Local days from `now` to the instant: 0 on the same day, below 0 in the past.
std::int64_t local_days_ahead(WallTime instant, WallTime now, const Zone& zone);

// What a person writes for an instant: a time of RFC 3339, or a date such as 2026-11-26, which is the local midnight
// that begins that day, or ends it. Nothing for anything else.
std::optional<WallTime> written_moment(std::string_view text, bool end_of_day, const Zone& zone);

// "under a minute", "25 min", "3 h 05 min", "2 d 4 h"; a negative span counts as none.
std::string span_words(std::chrono::milliseconds span);

// "08:12, 25 min". Without the span where the instant lies ahead of `now` (clocks differ).
std::string since_words(WallTime instant, WallTime now, const Zone& zone);

}  // namespace frisket::client
