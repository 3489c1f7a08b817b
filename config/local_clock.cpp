#include "config/local_clock.h"

#include <date/tz.h>

#include <stdexcept>

namespace frisket::config {
namespace {

using model::Milliseconds;
using model::WallTime;

bool has_zone_data() {
  try {
    (void)date::locate_zone("UTC");
  } catch (const std::runtime_error&) {
    return false;
  }
  return true;
}

}  // namespace

model::Result<LocalClock> LocalClock::of(const std::string& zone) {
  try {
    return LocalClock(date::locate_zone(zone));
  } catch (const std::runtime_error& fault) {
    if (has_zone_data())
      return model::Error{model::Error::Kind::invalid, "looking up the time zone", zone, "no such zone"};
    return model::Error{model::Error::Kind::local, "reading the time zone data", "", fault.what()};
  }
}

LocalClock LocalClock::of_site(const std::string& zone) {
  if (zone == "UTC") return {};
  const auto clock = of(zone);
  return clock ? *clock : LocalClock();
}

std::chrono::local_time<Milliseconds> LocalClock::time_of(WallTime instant) const {
  Milliseconds local = instant.time_since_epoch();
  if (zone_ != nullptr) local += zone_->get_info(date::sys_time<Milliseconds>{instant.time_since_epoch()}).offset;
  return std::chrono::local_time<Milliseconds>{local};
}

std::chrono::local_days LocalClock::day_of(WallTime instant) const {
  return std::chrono::floor<std::chrono::days>(time_of(instant));
}

WallTime LocalClock::instant_of(std::chrono::local_time<Milliseconds> local, Choice choice) const {
  if (zone_ == nullptr) return WallTime{local.time_since_epoch()};
  const auto which = choice == Choice::latest ? date::choose::latest : date::choose::earliest;
  return WallTime{zone_->to_sys(date::local_time<Milliseconds>{local.time_since_epoch()}, which).time_since_epoch()};
}

}  // namespace frisket::config
