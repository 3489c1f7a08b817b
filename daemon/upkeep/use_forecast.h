// How much a device will print: expected impressions per day, and how far that can be off.
//
// Expected use of a day = level x weekday (or holiday) x season x the site's present course. The level is a mean over
// past weeks whose reach back is chosen by how well it would have foretold the device's own past, and the uncertainty
// at each horizon is what those past forecasts missed by, drawn towards a default where the past is short. So a bursty
// or idle device gets wide limits because it has been hard to foretell, not because of a formula about counts. Pure;
// any thread.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/meter.h"
#include "daemon/upkeep/season.h"
#include "daemon/upkeep/site_course.h"

namespace frisket::upkeep {

// Relative use by weekday, Monday first, mean 1 over a week; index 7 is a holiday.
struct WeekPattern {
  std::array<double, 8> weights{1, 1, 1, 1, 1, 1, 1, 1};
  double weight(LocalDay day, const Calendar& calendar) const {
    return calendar.holiday(day) ? weights[7] : weights[static_cast<std::size_t>(weekday_of(day))];
  }
};

// Later weeks count more; the first weeks lean on an office's week (Monday to Friday; common
// practice, no source). Estimated days are left out.
WeekPattern week_pattern(std::span<const DayUse> days, const Calendar& calendar);

// Least history for a forecast: one full week and its repetition in part.
inline constexpr std::size_t kLeastUseDays = 10;

struct UseModel {
  WeekPattern pattern;
  std::optional<Season> season;
  std::optional<SiteCourse> course;
  double level = 0;      // impressions per day of weight 1
  double reach = 0;      // half-life of the level's memory, in weeks
  std::size_t days = 0;  // of history
  // Squared relative error of the total over 1, 2, 4, 8, 16, 26 weeks.
  std::array<double, 6> spread{};

  // `season_shift`: as if the year's course came so many days later.
  double expected(LocalDay day, const Calendar& calendar, int season_shift = 0) const;
  // Of the total over `weeks` (> 0) weeks' worth of expected use.
  double relative_variance(double weeks) const;
};

// `days` without holes, the last one complete; `course` relative to the same season. Nothing with fewer than
// kLeastUseDays.
std::optional<UseModel> fit_use(std::span<const DayUse> days, const Calendar& calendar,
                                const std::optional<Season>& season = std::nullopt,
                                const std::optional<SiteCourse>& course = std::nullopt);

// Expected use added up day by day from `from`, made once per device and shared by its supplies.
class UseForecast {
 public:
  UseForecast(const UseModel& model, const Calendar& calendar, WallTime from, int days);

  WallTime from() const { return starts_.front(); }
  int days() const { return static_cast<int>(totals_.size()) - 1; }
  // Expected total up to the end of the n-th day (0: nothing yet; the first day is what is left of today).
  double total(int days) const { return totals_[static_cast<std::size_t>(days)]; }
  WallTime end_of(int days) const { return starts_[static_cast<std::size_t>(days)]; }
  // Of total(days).
  double relative_variance(int days) const;
  double level() const { return level_; }
  // Quantile of the impressions over the first n days (1 <= n <= days()), 0 < p < 1.
  double quantile(int days, double p) const;

 private:
  const UseModel model_;
  double level_;
  std::vector<double> totals_;
  std::vector<double> shift_variance_;  // relative, of the totals: seasons do not come on the same day each year
  std::vector<WallTime> starts_;
};

}  // namespace frisket::upkeep
