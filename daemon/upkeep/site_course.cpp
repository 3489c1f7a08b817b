#include "daemon/upkeep/site_course.h"

#include <algorithm>
#include <cmath>

#include "daemon/upkeep/use_forecast.h"

namespace frisket::upkeep {
namespace {

constexpr std::size_t kLeastDays = 42;
constexpr std::size_t kYear = 364;
constexpr double kFade = 8;  // weeks after which half of a deviation is gone

struct Pool {
  double sum = 0;
  double squares = 0;
  double count = 0;
};

// One device's weeks relative to its own mean of the last year.
void add_device(const std::vector<DayUse>& days, const Calendar& calendar, const std::optional<Season>& season,
                LocalDay end, std::vector<Pool>& pools) {
  const WeekPattern pattern = week_pattern(days, calendar);
  const auto weight = [&](const DayUse& day) {
    return pattern.weight(day.day, calendar) * (season ? season->of(day.day) : 1.0);
  };
  double use = 0;
  double expected = 0;
  const std::size_t reach = std::min(days.size(), kYear);
  for (std::size_t i = days.size() - reach; i < days.size(); ++i) {
    use += days[i].impressions;
    expected += weight(days[i]);
  }
  if (use <= 0 || expected <= 0) return;
  const double level = use / expected;
  // Weeks are counted back from `end`; a silent device ends earlier and lacks the last ones.
  const auto lacking = static_cast<std::size_t>((end - days.back().day).count()) - 1;
  for (std::size_t week = (lacking + 6) / 7; 7 * (week + 1) - lacking <= days.size(); ++week) {
    double week_use = 0;
    double week_expected = 0;
    const std::size_t behind = days.size() + lacking - 7 * week;
    for (std::size_t i = behind - 7; i < behind; ++i) {
      week_use += days[i].impressions;
      week_expected += weight(days[i]);
    }
    if (week_expected < 0.5) continue;  // nearly all holidays
    if (pools.size() <= week) pools.resize(week + 1);
    const double share = std::min(week_use / (level * week_expected), 3.0);
    pools[week].sum += share;
    pools[week].squares += share * share;
    ++pools[week].count;
  }
}

}  // namespace

double SiteCourse::of(LocalDay day) const {
  const auto before = (end - day).count() - 1;
  if (before < 0) return foretold(0, static_cast<double>(-before - 1) / 7);
  const auto week = static_cast<std::size_t>(before / 7);
  return week < weeks.size() ? weeks[week] : 1;
}

double SiteCourse::foretold(std::size_t week, double ahead) const {
  if (week >= weeks.size()) return 1;
  const double present = week + 1 < weeks.size() ? 0.6 * weeks[week] + 0.4 * weeks[week + 1] : weeks[week];
  return 1 + (present - 1) * std::exp2(-ahead / kFade);
}

std::optional<SiteCourse> site_course(std::span<const std::vector<DayUse>> devices, const Calendar& calendar,
                                      const std::optional<Season>& season) {
  std::vector<Pool> pools;
  int used = 0;
  SiteCourse course;
  for (const auto& days : devices) {
    if (!days.empty()) course.end = std::max(course.end, days.back().day + std::chrono::days{1});
  }
  for (const auto& days : devices) {
    if (days.size() < kLeastDays) continue;
    add_device(days, calendar, season, course.end, pools);
    ++used;
  }
  if (used < 3) return std::nullopt;
  double scatter = 0;
  double freedom = 0;
  for (const Pool& pool : pools) {
    if (pool.count < 2) continue;
    scatter += pool.squares - pool.sum * pool.sum / pool.count;
    freedom += pool.count - 1;
  }
  const double noise = freedom > 0 ? scatter / freedom : 1;
  for (const Pool& pool : pools) {
    double keep = 0;
    double off = 0;
    if (pool.count >= 2) {
      off = pool.sum / pool.count - 1;
      const double chance = noise / pool.count;
      // Positive-part James-Stein: what chance could have made is not taken for the site's course.
      if (off != 0) keep = std::max(0.0, 1 - 3 * chance / (off * off + chance));
    }
    course.weeks.push_back(std::max(0.05, 1 + keep * off));
  }
  return course;
}

}  // namespace frisket::upkeep
