#include "daemon/hooks/quiet_times.h"

#include <algorithm>

namespace frisket::hooks {
namespace {

using config::LocalClock;
using model::WallTime;
using std::chrono::days;

// No chain of quiet times that the configuration allows has more links: six days and what lies between.
constexpr int kMostSteps = 64;

}  // namespace

// The latest end of a quiet time that holds the instant; the instant itself if none does.
WallTime SiteClock::end_of_quiet(const config::Hook& hook, WallTime instant) const {
  const auto today = clock_.day_of(instant);
  auto end = instant;
  const auto weekday = std::chrono::weekday{today}.iso_encoding() - 1;
  if (hook.quiet_days[weekday]) end = std::max(end, clock_.instant_of(today + days{1}));
  for (const auto& hours : hook.quiet) {
    for (const auto day : {today - days{1}, today}) {
      const auto ends_on = hours.to > hours.from ? day : day + days{1};
      const auto to = clock_.instant_of(ends_on + hours.to, LocalClock::Choice::latest);
      if (clock_.instant_of(day + hours.from) <= instant && instant < to) end = std::max(end, to);
    }
  }
  return end;
}

WallTime SiteClock::after_quiet(const config::Hook& hook, WallTime instant) const {
  for (int step = 0; step < kMostSteps; ++step) {
    const auto end = end_of_quiet(hook, instant);
    if (end == instant) break;
    instant = end;
  }
  return instant;
}

}  // namespace frisket::hooks
