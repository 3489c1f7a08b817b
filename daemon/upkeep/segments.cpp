#include "daemon/upkeep/segments.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <variant>

namespace frisket::upkeep {
namespace {

constexpr double kWobble = 5;  // percent

struct Reported {
  const LevelSample* sample = nullptr;
  double percent = 0;
};

double largest_level(const SupplyHistory& history) {
  double largest = 0;
  for (const LevelSample& sample : history.samples) {
    if (const auto units = model::amount_of(sample.level)) largest = std::max(largest, static_cast<double>(*units));
  }
  return largest;
}

// The coarsest usual step of which every level seen is a multiple. At least three different
// levels must have been seen, or a coarse step would be read into chance.
double step_of(const std::vector<Reported>& levels) {
  std::vector<double> seen;
  for (const Reported& level : levels) seen.push_back(level.percent);
  std::sort(seen.begin(), seen.end());
  seen.erase(std::unique(seen.begin(), seen.end()), seen.end());
  if (seen.size() < 3) return 1;
  for (const double step : std::array{25.0, 20.0, 12.5, 10.0, 5.0, 2.0, 1.0}) {
    const bool fits = std::all_of(seen.begin(), seen.end(), [&](double percent) {
      return std::abs(percent / step - std::round(percent / step)) * step < 0.02;
    });
    if (fits) return step;
  }
  return 0.5;  // finer than whole percent: grams, sheets, pixels
}

LevelNow kind_of(const model::Level& level) {
  if (std::holds_alternative<model::Amount>(level)) return LevelNow::counted;
  if (std::holds_alternative<model::SomeLeft>(level)) return LevelNow::some_left;
  if (std::holds_alternative<model::Unlimited>(level)) return LevelNow::unlimited;
  return LevelNow::unknown;
}

Segment begun(Segment::Begin begin, const Reported& level) {
  Segment segment;
  segment.begin = begin;
  segment.from = level.sample->at;
  segment.start_impressions = level.sample->impressions.value_or(0);
  segment.start_percent = level.percent;
  segment.percent = level.percent;
  segment.percent_since = level.sample->at;
  segment.percent_impressions = segment.start_impressions;
  return segment;
}

void take(Segment& segment, const Reported& level, double step) {
  const double fall = segment.percent - level.percent;
  const LevelSample& sample = *level.sample;
  segment.percent_sharp = fall > 0 && fall < 1.5 * step && !sample.after_gap;
  if (fall > 0)
    segment.falls.push_back({sample.at, sample.impressions.value_or(0), level.percent, segment.percent_sharp});
  if (fall < 0) segment.wobble -= fall;
  segment.percent = level.percent;
  segment.percent_since = sample.at;
  segment.percent_impressions = sample.impressions.value_or(0);
}

}  // namespace

LevelSeries segment(const SupplyHistory& history) {
  LevelSeries series;
  if (history.samples.empty()) return series;
  series.now = kind_of(history.samples.back().level);
  const double largest = largest_level(history);

  std::vector<Reported> levels;
  for (const LevelSample& sample : history.samples) {
    if (kind_of(sample.level) == LevelNow::some_left) series.ever_some_left = true;
    const auto units = model::amount_of(sample.level);
    if (!units) continue;
    series.ever_counted = true;
    auto percent = model::percent_of(sample.level, sample.capacity);
    if (!percent && largest > 0) percent = 100 * static_cast<double>(*units) / largest;
    if (!percent) continue;  // counted, always 0, and no capacity: says nothing
    if (!levels.empty() && levels.back().percent == *percent) continue;
    levels.push_back({&sample, *percent});
  }
  series.step = step_of(levels);
  for (const Reported& level : levels) {
    if (series.segments.empty()) {
      series.segments.push_back(begun(Segment::Begin::history, level));
      continue;
    }
    Segment& last = series.segments.back();
    const double rise = level.percent - last.percent;
    const bool to_full = level.percent >= 95;
    if (rise > std::max(kWobble, 1.2 * series.step) || (to_full && rise > kWobble)) {
      series.rises.push_back(level.sample->at);
      series.segments.push_back(begun(to_full ? Segment::Begin::replaced : Segment::Begin::raised, level));
    } else {
      take(last, level, series.step);
    }
  }
  return series;
}

}  // namespace frisket::upkeep
