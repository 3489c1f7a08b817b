#include "daemon/upkeep/use_forecast.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "daemon/upkeep/distributions.h"

namespace frisket::upkeep {
namespace {

constexpr std::array<double, 6> kHorizons{1, 2, 4, 8, 16, 26};  // weeks
constexpr std::array<double, 4> kReaches{3, 8, 24, 200};        // half-lives tried, in weeks
constexpr double kOfficeDay = 1.35;                             // of an office's week: five such days
constexpr double kOfficeWeekend = 0.125;                        // and two such

constexpr double kUnseenYear = 0.04;
constexpr int kSeasonShift = 7;  // days by which a term starts earlier or later than last year

// Share of a local day's use that is still to come, by the hour: an office prints between seven
// and nineteen (common practice, no source).
double share_to_come(Milliseconds into_day) {
  const double hour = static_cast<double>(into_day.count()) / 3600000;
  return std::clamp((19 - hour) / 12, 0.0, 1.0);
}

struct Week {
  double use = 0;
  double exposure = 0;  // days' worth, by pattern and season
  double course = 1;    // the site's, in that week
  std::size_t course_week = 0;
};

// Whole weeks, the latest first.
std::vector<Week> weeks_of(std::span<const DayUse> days, const UseModel& model, const Calendar& calendar) {
  std::vector<Week> weeks;
  for (std::size_t end = days.size(); end >= 7; end -= 7) {
    Week week;
    for (std::size_t i = end - 7; i < end; ++i) {
      week.use += days[i].impressions;
      week.exposure +=
          model.pattern.weight(days[i].day, calendar) * (model.season ? model.season->of(days[i].day) : 1.0);
    }
    if (model.course) {
      const LocalDay middle = days[end - 4].day;
      week.course = model.course->of(middle);
      week.course_week =
          static_cast<std::size_t>(std::max<std::int64_t>(0, (model.course->end - middle).count() - 1) / 7);
    }
    weeks.push_back(week);
  }
  return weeks;
}

double keep_of(double reach) { return std::exp2(-1 / reach); }

// Relative squared errors, by horizon, that a level of this reach would have made in the past.
struct Backtest {
  std::array<double, 6> mean{};
  std::array<double, 6> windows{};  // how many were seen, overlap taken off
};

Backtest backtest(const std::vector<Week>& weeks, const std::optional<SiteCourse>& course, double reach) {
  constexpr std::size_t kWarmUp = 4;
  const std::size_t n = weeks.size();
  // Running totals from the oldest, for sums over windows.
  std::vector<double> use(n + 1, 0);
  for (std::size_t i = 0; i < n; ++i) use[i + 1] = use[i] + weeks[n - 1 - i].use;
  Backtest result;
  std::array<double, 6> counts{};
  const double keep = keep_of(reach);
  double past_use = 0, past_exposure = 0;
  for (std::size_t origin = 0; origin <= n; ++origin) {
    if (origin >= kWarmUp && past_exposure > 0 && past_use > 0) {
      const double level = past_use / past_exposure;
      double exposure = 0;
      std::size_t end = origin;
      for (std::size_t h = 0; h < kHorizons.size(); ++h) {
        if (origin + static_cast<std::size_t>(kHorizons[h]) > n) break;
        // The course as it would have been foretold then.
        for (; end < origin + static_cast<std::size_t>(kHorizons[h]); ++end) {
          const double ahead = static_cast<double>(end - origin);
          exposure +=
              weeks[n - 1 - end].exposure * (course ? course->foretold(weeks[n - origin].course_week, ahead) : 1.0);
        }
        const double foretold = level * exposure;
        if (foretold <= 0) continue;
        const double miss = std::min((use[end] - use[origin]) / foretold - 1, 5.0);
        result.mean[h] += miss * miss;
        ++counts[h];
      }
    }
    if (origin == n) break;
    const Week& passed = weeks[n - 1 - origin];
    past_use = keep * past_use + passed.use;
    past_exposure = keep * past_exposure + passed.exposure * passed.course;
  }
  for (std::size_t h = 0; h < kHorizons.size(); ++h) {
    if (counts[h] == 0) continue;
    result.mean[h] /= counts[h];
    result.windows[h] = 1 + (counts[h] - 1) / kHorizons[h];
  }
  return result;
}

// Relative variance of one week's use about the mean of all weeks, drawn towards a default.
double scatter_of(const std::vector<Week>& weeks) {
  double use = 0, exposure = 0;
  for (const Week& week : weeks) {
    use += week.use;
    exposure += week.exposure * week.course;
  }
  constexpr double kDefault = 0.06, kDefaultWeight = 3;
  if (use <= 0 || exposure <= 0) return kDefault;
  double squares = 0;
  for (const Week& week : weeks) {
    const double foretold = use / exposure * week.exposure * week.course;
    if (foretold > 0) squares += std::pow(std::min(week.use / foretold - 1, 5.0), 2);
  }
  const double freedom = static_cast<double>(weeks.size()) - 1;
  return (squares + kDefaultWeight * kDefault) / (freedom + kDefaultWeight);
}

// Draws what the past says towards a default: by how many independent windows it has been seen.
std::array<double, 6> spread_of(const Backtest& past, const std::vector<Week>& weeks) {
  constexpr double kDefaultWeight = 4;
  std::array<double, 6> spread{};
  const double scatter = scatter_of(weeks);
  // The first weeks know the level itself badly.
  const double level_doubt = 1.3 * scatter / std::max(1.0, static_cast<double>(weeks.size()));
  for (std::size_t h = 0; h < kHorizons.size(); ++h) {
    const double windows = past.windows[h];
    // A longer total cannot do better than the mean of its weeks.
    const double guess = (h == 0 ? scatter : std::max(scatter, spread[0])) / kHorizons[h] + 0.007 + level_doubt;
    spread[h] = (windows * past.mean[h] + kDefaultWeight * guess) / (windows + kDefaultWeight);
    // Relatively no better known than the shorter one averaged.
    if (h > 0) spread[h] = std::max(spread[h], spread[h - 1] * kHorizons[h - 1] / kHorizons[h] * 0.8);
  }
  return spread;
}

}  // namespace

WeekPattern week_pattern(std::span<const DayUse> days, const Calendar& calendar) {
  WeekPattern pattern;
  double total = 0;
  double known = 0;
  for (const DayUse& day : days) {
    if (day.estimated || calendar.holiday(day.day)) continue;
    total += day.impressions;
    ++known;
  }
  const double mean = known > 0 ? total / known : 0;
  constexpr double kLean = 3;  // weeks of an office's pattern mixed in
  std::array<double, 8> use{};
  std::array<double, 8> count{};
  for (std::size_t i = 0; i < 7; ++i) {
    use[i] = kLean * mean * (i < 5 ? kOfficeDay : kOfficeWeekend);
    count[i] = kLean;
  }
  const double keep = std::exp2(-1.0 / 365);
  double weight = 1;
  double holiday_foretold = 0;
  for (auto day = days.rbegin(); day != days.rend(); ++day, weight *= keep) {
    if (day->estimated) continue;
    const bool off = calendar.holiday(day->day);
    const std::size_t slot = off ? 7 : static_cast<std::size_t>(weekday_of(day->day));
    use[slot] += weight * std::min(day->impressions, 5 * mean);  // a burst is not a weekday's habit
    count[slot] += weight;
  }
  double sum = 0;
  for (std::size_t i = 0; i < 7; ++i) {
    pattern.weights[i] = use[i] / count[i];
    sum += pattern.weights[i] / 7;
  }
  if (sum <= 0) {
    for (std::size_t i = 0; i < 7; ++i) pattern.weights[i] = i < 5 ? kOfficeDay : kOfficeWeekend;
    pattern.weights[7] = kOfficeWeekend;
    return pattern;
  }
  for (std::size_t i = 0; i < 7; ++i) pattern.weights[i] /= sum;
  // Holidays are few: four quiet Sundays are mixed in.
  const double quiet = *std::min_element(pattern.weights.begin(), pattern.weights.begin() + 7);
  holiday_foretold = 4 * quiet * sum;
  pattern.weights[7] = std::min(1.5, (use[7] + holiday_foretold) / ((count[7] + 4) * sum));
  return pattern;
}

double UseModel::expected(LocalDay day, const Calendar& calendar, int season_shift) const {
  return level * pattern.weight(day, calendar) * (season ? season->of(day - std::chrono::days{season_shift}) : 1.0) *
         (course ? course->of(day) : 1.0);
}

double UseModel::relative_variance(double weeks) const {
  // Under a week the scatter grows as for a mean of fewer days; beyond half a year it keeps growing
  // with the square root of time. Between, linear in the logarithms.
  if (weeks <= kHorizons.front()) return spread.front() / std::max(weeks, 0.02);
  if (weeks >= kHorizons.back()) return spread.back() * std::sqrt(weeks / kHorizons.back());
  std::size_t h = 1;
  while (kHorizons[h] < weeks) ++h;
  const double share = std::log(weeks / kHorizons[h - 1]) / std::log(kHorizons[h] / kHorizons[h - 1]);
  return std::exp((1 - share) * std::log(spread[h - 1]) + share * std::log(spread[h]));
}

std::optional<UseModel> fit_use(std::span<const DayUse> days, const Calendar& calendar,
                                const std::optional<Season>& season, const std::optional<SiteCourse>& course) {
  if (days.size() < kLeastUseDays) return std::nullopt;
  UseModel model;
  model.days = days.size();
  model.season = season;
  model.course = course;
  model.pattern = week_pattern(days, calendar);
  const std::vector<Week> weeks = weeks_of(days, model, calendar);

  Backtest best;
  double least = std::numeric_limits<double>::infinity();
  for (const double reach : kReaches) {
    const Backtest past = backtest(weeks, course, reach);
    if (past.windows[2] < 2.5) {  // too short to choose by: the middle road
      if (reach != kReaches[1]) continue;
    }
    // Errors over 4 weeks decide, a little in favour of the longer memory, which is tried later.
    const double error = past.mean[2] * 0.5 + past.mean[1] * 0.5;
    if (error * 0.98 < least) {
      least = error;
      best = past;
      model.reach = reach;
    }
  }
  model.spread = spread_of(best, weeks);
  // Under a year nobody has seen the site's quiet months yet.
  if (!season && days.size() < 380) {
    for (std::size_t h = 1; h < kHorizons.size(); ++h) model.spread[h] += kUnseenYear * std::min(1.0, kHorizons[h] / 8);
  }

  double use = 0, exposure = 0, weight = 1;
  for (const Week& week : weeks) {
    use += weight * week.use;
    exposure += weight * week.exposure * week.course;
    weight *= keep_of(model.reach);
  }
  model.level = exposure > 0 ? use / exposure : 0;
  return model;
}

UseForecast::UseForecast(const UseModel& model, const Calendar& calendar, WallTime from, int days)
    : model_(model), level_(model.level) {
  LocalDay day = calendar.day_of(from);
  double sum = 0;
  double early = 0;
  double late = 0;
  totals_.reserve(static_cast<std::size_t>(days) + 1);
  starts_.reserve(static_cast<std::size_t>(days) + 1);
  totals_.push_back(0);
  starts_.push_back(from);
  for (int i = 0; i < days; ++i, day += std::chrono::days{1}) {
    const double share = i == 0 ? share_to_come(from - calendar.start_of(day)) : 1.0;
    sum += share * model.expected(day, calendar);
    totals_.push_back(sum);
    if (model.season) {
      early += share * model.expected(day, calendar, -kSeasonShift);
      late += share * model.expected(day, calendar, kSeasonShift);
      shift_variance_.push_back(sum > 0 ? std::pow((early - late) / 2 / sum, 2) : 0);
    }
    starts_.push_back(calendar.start_of(day + std::chrono::days{1}));
  }
}

double UseForecast::relative_variance(int days) const {
  const double weeks = level_ > 0 ? total(days) / level_ / 7 : 0;
  const double shift = days > 0 && model_.season ? shift_variance_[static_cast<std::size_t>(days) - 1] : 0;
  return model_.relative_variance(std::max(weeks, 1.0 / 70)) + shift;
}

double UseForecast::quantile(int days, double p) const {
  const double mean = total(days);
  if (mean <= 0) return 0;
  const double variance = std::max(relative_variance(days), 1e-9);
  return gamma_quantile(p, 1 / variance, mean * variance);
}

}  // namespace frisket::upkeep
