#include "daemon/upkeep/depletion.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/upkeep/distributions.h"

namespace frisket::upkeep {
namespace {

using std::chrono::hours;

DepletionForecast none(NoDate reason, std::string text) {
  DepletionForecast forecast;
  forecast.no_date = reason;
  forecast.reason = std::move(text);
  return forecast;
}

// What remains, in percent, from the interval that the reported level names and from what has
// been printed since it became so.
struct Remaining {
  double percent = 0;
  double variance = 0;
};

Remaining remaining_of(const Segment& segment, const Consumption& consumption, double step, double impressions_now) {
  const double top = segment.percent + consumption.edge * step;
  const double bottom = std::max(0.0, top - step);
  const double printed = std::max(0.0, impressions_now - segment.percent_impressions) * consumption.per_impression;
  Remaining left;
  if (segment.percent_sharp) {
    left.percent = top - printed;
    left.variance = consumption.edge_variance * step * step + 0.01 * printed * printed;
  } else if (segment.percent >= 100 - 1e-9 && segment.begin == Segment::Begin::replaced) {
    left.percent = std::min(100.0, top) - printed;  // put in full
    left.variance = 0.01 * printed * printed;
  } else {
    left.percent = (top + bottom) / 2 - std::min(printed, step / 2) / 2;
    left.variance = (1.0 / 12 + consumption.edge_variance) * step * step;
  }
  left.percent = std::clamp(left.percent, std::min(top, bottom + 0.1 * step), std::max(top, bottom));
  return left;
}

// P(used up within the first n days).
class UsedUp {
 public:
  UsedUp(const UseForecast& use, const Consumption& consumption, const Remaining& left)
      : use_(use), left_(std::max(left.percent, 0.05) / consumption.per_impression) {
    const double percent = std::max(left.percent, 0.5);
    variance_ = consumption.log_variance + consumption.block_variance * 10 / std::max(percent, 2.0) +
                std::min(1.0, left.variance / (percent * percent));
  }

  double impressions() const { return left_; }

  double within(double mean, double use_variance) const {
    const double ratio = mean / left_;
    if (ratio <= 0) return 0;
    const double variance = std::max(1e-6, use_variance + variance_ + use_variance * variance_);
    // P(G >= 1) for a gamma variable of mean `ratio` and relative variance `variance`.
    return 1 - gamma_cdf(1, 1 / variance, ratio * variance);
  }
  double within(int days) const { return within(use_.total(days), use_.relative_variance(days)); }

  std::optional<WallTime> quantile(double p) const {
    if (use_.days() < 1 || within(use_.days()) < p) return std::nullopt;
    int low = 0, high = use_.days();
    while (high - low > 1) {
      const int middle = (low + high) / 2;
      (within(middle) >= p ? high : low) = middle;
    }
    // Within the day, by share of its probability.
    const double before = low == 0 ? 0 : within(low);
    const double after = within(high);
    const double share = after > before ? std::clamp((p - before) / (after - before), 0.0, 1.0) : 1.0;
    const auto length = static_cast<double>((use_.end_of(high) - use_.end_of(low)).count());
    return use_.end_of(low) + Milliseconds{static_cast<std::int64_t>(share * length)};
  }

 private:
  const UseForecast& use_;
  double left_;
  double variance_ = 0;
};

std::optional<DepletionForecast> refuse(const DepletionInput& input) {
  const LevelSeries& series = input.series;
  switch (series.now) {
    case LevelNow::nothing:
    case LevelNow::unknown:
      return none(NoDate::not_reported, "level not reported");
    case LevelNow::unlimited:
      return none(NoDate::unlimited, "the supply places no restriction");
    case LevelNow::some_left:
      return none(NoDate::some_left_only, "some left only");
    case LevelNow::counted:
      break;
  }
  if (series.segments.empty()) return none(NoDate::not_reported, "level not reported");
  const auto lately = std::count_if(series.rises.begin(), series.rises.end(),
                                    [&](WallTime at) { return at > input.now - hours(24 * 14); });
  if (lately >= 4) {
    return none(NoDate::contradictory, "contradictory: the level rose " + std::to_string(lately) + " times in 14 days");
  }
  const Segment& present = series.segments.back();
  if (present.wobble > 25 && present.wobble > 0.5 * (present.start_percent - present.percent + present.wobble)) {
    return none(NoDate::contradictory, "contradictory: the level goes up and down without a replacement");
  }
  if (input.use == nullptr) {
    return none(NoDate::little_history, "too little history: " + std::to_string(input.use_days) + " days");
  }
  return std::nullopt;
}

}  // namespace

std::string_view to_text(NoDate reason) {
  constexpr std::array<std::string_view, 6> kNames{"level-not-reported", "some-left-only", "unlimited",
                                                   "little-history",     "nothing-used",   "contradictory"};
  return kNames.at(static_cast<std::size_t>(reason));
}

double days_between(WallTime from, WallTime to) { return static_cast<double>((to - from).count()) / 86400000; }

DepletionForecast deplete(const DepletionInput& input) {
  if (auto refused = refuse(input)) return *refused;
  const Segment& present = input.series.segments.back();
  const auto consumption = consumption_of(input.series, input.prior);
  if (!consumption || input.use->level() <= 0) {
    const auto days = static_cast<int>(days_between(input.series.segments.front().from, input.now));
    if (days < 30) return none(NoDate::little_history, "too little history: " + std::to_string(days) + " days");
    return none(NoDate::nothing_used, "nothing consumed in " + std::to_string(days) + " days");
  }
  DepletionForecast forecast;
  forecast.per_impression = consumption->per_impression;
  forecast.from_part = consumption->from_part;
  const Remaining left = remaining_of(present, *consumption, input.series.step, input.impressions_now);
  forecast.percent = left.percent;
  if (present.percent <= 0 && consumption->edge < 0.25) {
    forecast.percent = 0;
    forecast.p10 = forecast.p50 = forecast.p90 = input.now;  // used up already
    return forecast;
  }
  const UsedUp used_up(*input.use, *consumption, left);
  forecast.impressions_left = used_up.impressions();
  forecast.p10 = used_up.quantile(0.1);
  forecast.p50 = used_up.quantile(0.5);
  forecast.p90 = used_up.quantile(0.9);
  return forecast;
}

}  // namespace frisket::upkeep
