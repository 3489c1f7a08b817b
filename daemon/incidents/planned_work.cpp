#include "daemon/incidents/planned_work.h"

#include <date/tz.h>

#include <algorithm>

namespace frisket::incidents {
namespace {

using model::WallTime;

const date::time_zone* zone_named(const std::string& name) {
  try {
    return date::locate_zone(name);
  } catch (const std::exception&) {  // no zone files: config has warned
    return nullptr;
  }
}

WallTime instant(const date::time_zone* zone, std::chrono::seconds local) {
  const date::local_seconds time{local};
  if (zone == nullptr) return WallTime{local};
  return WallTime{zone->to_sys(time, date::choose::earliest).time_since_epoch()};
}

// Days since 1970 in local time.
std::int64_t local_day(const date::time_zone* zone, WallTime when) {
  const date::sys_time<model::Milliseconds> utc{when.time_since_epoch()};
  const auto local = zone == nullptr ? utc.time_since_epoch() : zone->to_local(utc).time_since_epoch();
  return std::chrono::floor<std::chrono::days>(local).count();
}

bool starts_on(const config::Maintenance& plan, std::int64_t day) {
  const std::chrono::weekday weekday{std::chrono::sys_days{std::chrono::days{day}}};
  return plan.days.empty() || std::ranges::find(plan.days, weekday) != plan.days.end();
}

}  // namespace

bool is_on(const config::Maintenance& plan, const std::string& time_zone, WallTime when) {
  const auto* zone = zone_named(time_zone);
  if (plan.start)
    return when >= instant(zone, plan.start->time_since_epoch()) &&
           (!plan.end || when < instant(zone, plan.end->time_since_epoch()));
  const auto today = local_day(zone, when);
  // It may have begun yesterday.
  for (const auto day : {today - 1, today}) {
    if (!starts_on(plan, day)) continue;
    const std::chrono::seconds midnight = std::chrono::days{day};
    const auto begins = instant(zone, midnight + plan.from);
    const auto lasts_over_midnight = plan.to <= plan.from;
    const auto ends =
        instant(zone, midnight + plan.to + (lasts_over_midnight ? std::chrono::days{1} : std::chrono::days{0}));
    if (when >= begins && when < ends) return true;
  }
  return false;
}

void PlannedWork::configure(const config::Config& config) {
  plans_ = config.maintenance;
  zones_.clear();
  for (const auto& site : config.sites) zones_[site.name] = site.time_zone;
}

bool PlannedWork::at(const std::string& site, const std::string& device, WallTime when) {
  const auto named = [](const std::vector<std::string>& names, const std::string& name) {
    return std::ranges::find(names, name) != names.end();
  };
  return std::ranges::any_of(plans_, [&](const config::Maintenance& plan) {
    const bool everywhere = plan.sites.empty() && plan.devices.empty();
    if (!everywhere && !named(plan.sites, site) && !(!device.empty() && named(plan.devices, device))) return false;
    return is_on(plan, zones_[site], when);
  });
}

}  // namespace frisket::incidents
