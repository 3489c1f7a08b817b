#include "daemon/upkeep/device_forecast.h"

#include <algorithm>

namespace frisket::upkeep {
namespace {

// Without a counter the supply itself is the meter: use is counted in percent consumed.
MeteredUse meter_of(const SupplyHistory& supply, WallTime seen) {
  constexpr double kCoarse = 4;  // percent: such a fall took days
  MeteredUse use;
  const LevelSeries series = segment(supply);
  if (series.segments.empty()) return use;
  WallTime at = series.segments.front().from;
  use.covered = Span{at, std::max(at, seen)};
  for (const Segment& part : series.segments) {
    double percent = part.start_percent;
    at = std::max(at, part.from);
    for (const Fall& fall : part.falls) {
      const double drop = std::max(0.0, percent - fall.percent);
      use.steps.push_back({at, fall.at, drop, series.step > kCoarse || !fall.sharp});
      percent = fall.percent;
      at = fall.at;
    }
  }
  return use;
}

DepletionForecast deplete_by(const SupplyHistory& supply, const std::optional<PartPrior>& prior,
                             const DeviceForecast& device, const MeteredUse& metered,
                             const std::optional<UseForecast>& use, std::size_t days) {
  const LevelSeries series = segment(supply);
  return deplete({series, prior, use ? &*use : nullptr, days, counted_until(metered, device.seen), device.seen});
}

DepletionForecast deplete_without_counter(SupplyHistory supply, const DeviceForecast& device, const Calendar& calendar,
                                          const Surroundings& around) {
  const MeteredUse metered = meter_of(supply, device.seen);
  count_at_levels(supply, metered);
  const std::vector<DayUse> days = whole_days(metered, calendar, device.seen);
  const auto model = fit_use(days, calendar, around.season, around.course);
  std::optional<UseForecast> use;
  if (model) use.emplace(*model, calendar, device.seen, kHorizonDays);
  // The part's figure is per impression, so it says nothing here.
  return deplete_by(supply, std::nullopt, device, metered, use, days.size());
}

}  // namespace

void count_at_levels(SupplyHistory& supply, const MeteredUse& use) {
  double sum = 0;
  std::size_t step = 0;
  for (LevelSample& sample : supply.samples) {
    while (step < use.steps.size() && use.steps[step].to <= sample.at) sum += use.steps[step++].impressions;
    sample.impressions = sum;
  }
}

WallTime last_seen(const CounterHistory& history, WallTime now) {
  for (auto span = history.unobserved.rbegin(); span != history.unobserved.rend(); ++span) {
    if (span->from <= now && now <= span->to) return span->from;
  }
  return now;
}

std::vector<DayUse> whole_days(const MeteredUse& use, const Calendar& calendar, WallTime seen) {
  std::vector<DayUse> days = by_day(use, calendar);
  while (!days.empty() && calendar.start_of(days.back().day + std::chrono::days{1}) > seen) days.pop_back();
  if (!days.empty() && use.covered->from > calendar.start_of(days.front().day)) days.erase(days.begin());
  return days;
}

DeviceForecast forecast_device(DeviceHistory history, const Calendar& calendar, const Surroundings& around,
                               WallTime now) {
  DeviceForecast device;
  device.seen = last_seen(history.counter, now);
  device.metered = unwrap(history.counter, device.seen);
  device.days = whole_days(device.metered, calendar, device.seen);
  const bool counts = !history.counter.samples.empty();
  if (counts) device.model = fit_use(device.days, calendar, around.season, around.course);
  if (device.model) device.use.emplace(*device.model, calendar, device.seen, kHorizonDays);
  for (std::size_t i = 0; i < history.supplies.size(); ++i) {
    SupplyHistory& supply = history.supplies[i];
    if (counts) {
      count_at_levels(supply, device.metered);
      const std::optional<PartPrior> prior = i < around.priors.size() ? around.priors[i] : std::nullopt;
      device.supplies.push_back(deplete_by(supply, prior, device, device.metered, device.use, device.days.size()));
    } else {
      device.supplies.push_back(deplete_without_counter(std::move(supply), device, calendar, around));
    }
    for (auto* date : {&device.supplies.back().p10, &device.supplies.back().p50, &device.supplies.back().p90}) {
      if (*date) *date = std::max(**date, now);
    }
  }
  return device;
}

}  // namespace frisket::upkeep
