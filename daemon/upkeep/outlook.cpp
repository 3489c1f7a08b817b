#include "daemon/upkeep/outlook.h"

#include <algorithm>
#include <utility>

#include "daemon/upkeep/recorder.h"
#include "daemon/upkeep/segments.h"
#include "daemon/upkeep/spans.h"

namespace frisket::upkeep {
namespace {

using namespace std::chrono_literals;

// A supply that was not restated for so long is no longer in the device.
constexpr auto kGone = kRestatedEvery + std::chrono::weeks{1};

// Without those that are gone.
ToldHistory history_in(const HistoryOf& history_of, const std::string& device, WallTime now) {
  ToldHistory told = told_history(history_of(device));
  const auto seen = last_seen(told.history.counter, now);
  for (std::size_t i = told.supplies.size(); i-- > 0;) {
    if (seen - told.supplies[i].stated_at <= kGone) continue;
    told.supplies.erase(told.supplies.begin() + static_cast<std::ptrdiff_t>(i));
    told.history.supplies.erase(told.history.supplies.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return told;
}

// Devices: more make a part's figure no surer, and cost as much as their forecasts.
constexpr std::size_t kEnoughOfPart = 100;

// What one device adds to what the devices have in common.
class Pool {
 public:
  void add(const OutlookDevice& device, ToldHistory told, const Calendar& calendar, WallTime now) {
    const auto seen = last_seen(told.history.counter, now);
    const auto metered = unwrap(told.history.counter, seen);
    days_[device.site].push_back(whole_days(metered, calendar, seen));
    if (told.history.counter.samples.empty()) return;  // consumption is per impression
    for (auto& supply : told.history.supplies) {
      if (supply.part.empty()) continue;
      auto& used_of_part = used_[supply.part];
      if (used_of_part.size() >= kEnoughOfPart) continue;
      count_at_levels(supply, metered);
      if (const auto used = consumption_of(segment(supply), std::nullopt)) used_of_part.push_back(*used);
    }
  }

  FleetCommon common(const std::map<std::string, Calendar>& calendars) const {
    FleetCommon common;
    for (const auto& [site, devices] : days_) {
      const auto& calendar = calendars.at(site);
      common.seasons[site] = season_of(devices, calendar);
      common.courses[site] = site_course(devices, calendar, common.seasons[site]);
    }
    for (const auto& [part, devices] : used_)
      if (const auto prior = part_prior(devices)) common.priors[part] = *prior;
    return common;
  }

 private:
  std::map<std::string, std::vector<std::vector<DayUse>>> days_;  // by site
  std::map<std::string, std::vector<Consumption>> used_;          // by part
};

Surroundings around(const FleetCommon& common, const std::string& site, const ToldHistory& told) {
  Surroundings around;
  if (const auto found = common.seasons.find(site); found != common.seasons.end()) around.season = found->second;
  if (const auto found = common.courses.find(site); found != common.courses.end()) around.course = found->second;
  for (const auto& supply : told.supplies) {
    const auto found = common.priors.find(supply.part);
    around.priors.push_back(found == common.priors.end() ? std::nullopt : std::optional(found->second));
  }
  return around;
}

std::optional<double> mean_a_day(const std::optional<UseForecast>& use, int days) {
  if (!use) return std::nullopt;
  days = std::min(days, use->days());
  return use->total(days) / days;
}

SupplyOutlook supply_outlook(const ToldSupply& told, DepletionForecast forecast, const DeviceForecast& device) {
  SupplyOutlook supply{told.what, told.part, std::move(forecast), std::nullopt};
  const auto year = mean_a_day(device.use, 365);
  if (year && *year > 0 && supply.forecast.per_impression > 0)
    supply.whole_lasts = 100 / supply.forecast.per_impression / *year;
  return supply;
}

std::optional<std::uint32_t> shown_at(const CounterHistory& counter, WallTime instant) {
  const auto after = std::ranges::upper_bound(counter.samples, instant, {}, &CounterSample::at);
  return after == counter.samples.begin() ? std::nullopt : std::optional(std::prev(after)->count);
}

void add_tasks(DeviceOutlook& outlook, const OutlookDevice& device, const CounterHistory& counter,
               const DeviceForecast& forecast, WallTime now) {
  if (counter.samples.empty() || !device.tasks) return;  // its past is not known
  DeviceUse use;
  use.since = counter.samples.front().at;
  use.impressions = counted_until(forecast.metered, forecast.seen);
  use.use = forecast.use ? &*forecast.use : nullptr;
  // Counted like everything else here, so that no reset of the counter comes between.
  auto done = device.tasks_done;
  for (auto& entry : done) {
    entry.impressions = counted_until(forecast.metered, entry.at);
    entry.shown = shown_at(counter, entry.at);
  }
  outlook.tasks.reserve(device.tasks->size());  // there are thousands of outlooks: none has room for more
  for (const auto& task : *device.tasks) outlook.tasks.push_back(status_of(task, done, use, now));
}

// Nobody looked before its first reading either.
std::vector<Span> unobserved_lately(const ToldHistory& told, WallTime now) {
  const Span window{now - kLately, now};
  auto gaps = told.history.counter.unobserved;
  gaps.push_back({window.from, told.begin.value_or(window.to)});
  return joined(std::move(gaps), window);
}

DeviceOutlook device_outlook(const OutlookDevice& device, const ToldHistory& told, const Calendar& calendar,
                             const FleetCommon& common, WallTime now) {
  DeviceForecast forecast = forecast_device(told.history, calendar, around(common, device.site, told), now);
  DeviceOutlook outlook;
  outlook.name = device.name;
  outlook.site = device.site;
  outlook.identity = device.identity;
  if (outlook.identity.serial.empty()) outlook.identity.serial = told.serial;
  outlook.seen = forecast.seen;
  outlook.counts = !told.history.counter.samples.empty();
  outlook.supplies.reserve(told.supplies.size());
  for (std::size_t i = 0; i < told.supplies.size(); ++i)
    outlook.supplies.push_back(supply_outlook(told.supplies[i], std::move(forecast.supplies[i]), forecast));
  outlook.months = by_month(forecast.metered, calendar);
  if (!told.colour.samples.empty())
    outlook.colour_months = by_month(unwrap(told.colour, last_seen(told.colour, forecast.seen)), calendar);
  outlook.events = forecast.metered.events;
  for (const auto& step : forecast.metered.steps)
    if (step.impressions > 0) outlook.printed_at = step.to;
  outlook.lately = counted_until(forecast.metered, now) - counted_until(forecast.metered, now - kLately);
  outlook.unobserved = unobserved_lately(told, now);
  outlook.a_day = mean_a_day(forecast.use, 28);
  add_tasks(outlook, device, told.history.counter, forecast, now);
  return outlook;
}

}  // namespace

const SupplyOutlook* DeviceOutlook::supply(std::int32_t index) const {
  const auto found = std::ranges::find(supplies, index, [](const auto& supply) { return supply.what.supply; });
  return found == supplies.end() ? nullptr : &*found;
}

const OutlookDevice* OutlookSetup::device(const std::string& wanted) const {
  const auto found = std::ranges::lower_bound(devices, wanted, {}, &OutlookDevice::name);
  return found == devices.end() || found->name != wanted ? nullptr : &*found;
}

Outlook look_ahead(const OutlookSetup& setup, const HistoryOf& history_of, WallTime now) {
  Pool pool;
  for (const auto& device : setup.devices)
    pool.add(device, history_in(history_of, device.name, now), setup.calendars.at(device.site), now);
  Outlook outlook;
  outlook.made_at = now;
  outlook.common = std::make_shared<const FleetCommon>(pool.common(setup.calendars));
  for (const auto& device : setup.devices)
    outlook.devices[device.name] = std::make_shared<const DeviceOutlook>(device_outlook(
        device, history_in(history_of, device.name, now), setup.calendars.at(device.site), *outlook.common, now));
  outlook.order = order_of(setup, outlook.devices, now);
  return outlook;
}

Outlook look_again(const Outlook& before, const OutlookSetup& setup, const std::string& device,
                   const HistoryOf& history_of, WallTime now) {
  Outlook outlook = before;
  if (!outlook.common) outlook.common = std::make_shared<const FleetCommon>();
  const auto* found = setup.device(device);
  if (found == nullptr) {
    outlook.devices.erase(device);
  } else {
    outlook.devices[device] = std::make_shared<const DeviceOutlook>(device_outlook(
        *found, history_in(history_of, device, now), setup.calendars.at(found->site), *outlook.common, now));
  }
  outlook.order = order_of(setup, outlook.devices, now);
  return outlook;
}

}  // namespace frisket::upkeep
