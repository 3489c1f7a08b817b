#include "daemon/hooks/quiet_times.h"

#include <date/tz.h>

#include <algorithm>
#include <stdexcept>

namespace frisket::hooks {
namespace {

using model::Milliseconds;
using model::WallTime;
using std::chrono::days;

// No chain of quiet times that the configuration allows has more links: six days and what lies between.
constexpr int kMostSteps = 64;

const date::time_zone* zone_or_null(const std::string& name) {
  try {
    return date::locate_zone(name);
  } catch (const std::runtime_error&) {
    return nullptr;
  }
}

}  // namespace

SiteClock::SiteClock(const std::string& zone) : zone_(zone == "UTC" ? nullptr : zone_or_null(zone)) {}

SiteClock::LocalDay SiteClock::day_of(WallTime instant) const {
  Milliseconds local = instant.time_since_epoch();
  if (zone_) local += zone_->get_info(date::sys_time<Milliseconds>{instant.time_since_epoch()}).offset;
  return LocalDay{std::chrono::floor<days>(local)};
}

WallTime SiteClock::instant_of(LocalDay day, std::chrono::minutes time, bool last) const {
  const Milliseconds local = day.time_since_epoch() + time;
  if (!zone_) return WallTime{local};
  const auto choice = last ? date::choose::latest : date::choose::earliest;
  return WallTime{zone_->to_sys(date::local_time<Milliseconds>{local}, choice).time_since_epoch()};
}

// The latest end of a quiet time that holds the instant; the instant itself if none does.
WallTime SiteClock::end_of_quiet(const config::Hook& hook, WallTime instant) const {
  const auto today = day_of(instant);
  auto end = instant;
  const auto weekday = std::chrono::weekday{today}.iso_encoding() - 1;
  if (hook.quiet_days[weekday]) end = std::max(end, instant_of(today + days{1}, std::chrono::minutes{0}, false));
  for (const auto& hours : hook.quiet) {
    for (const auto day : {today - days{1}, today}) {
      const auto ends_on = hours.to > hours.from ? day : day + days{1};
      const auto to = instant_of(ends_on, hours.to, true);
      if (instant_of(day, hours.from, false) <= instant && instant < to) end = std::max(end, to);
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
