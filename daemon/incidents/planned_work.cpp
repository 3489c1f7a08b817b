#include "daemon/incidents/planned_work.h"

#include <algorithm>

#include "config/local_clock.h"

namespace frisket::incidents {
namespace {

using model::WallTime;
using std::chrono::days;

bool starts_on(const config::Maintenance& plan, std::chrono::local_days day) {
  return plan.days.empty() || std::ranges::find(plan.days, std::chrono::weekday{day}) != plan.days.end();
}

}  // namespace

bool is_on(const config::Maintenance& plan, const std::string& time_zone, WallTime when) {
  const auto clock = config::LocalClock::of_site(time_zone);
  if (plan.start) return when >= clock.instant_of(*plan.start) && (!plan.end || when < clock.instant_of(*plan.end));
  const auto today = clock.day_of(when);
  // It may have begun yesterday.
  for (const auto day : {today - days{1}, today}) {
    if (!starts_on(plan, day)) continue;
    const auto ends_on = plan.to > plan.from ? day : day + days{1};
    if (when >= clock.instant_of(day + plan.from) && when < clock.instant_of(ends_on + plan.to)) return true;
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
