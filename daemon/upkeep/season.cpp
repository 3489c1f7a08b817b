#include "daemon/upkeep/season.h"

#include <algorithm>
#include <cmath>

#include "daemon/upkeep/use_forecast.h"

namespace frisket::upkeep {
namespace {

constexpr std::size_t kYear = 364;  // whole weeks, so that weekdays balance

struct WeekShare {
  double sum = 0;
  double squares = 0;
  double weight = 0;
  double weight_squares = 0;
};

// Adds one device's last whole years: its weeks relative to its own mean of the same year.
void add_device(const std::vector<DayUse>& days, const Calendar& calendar, std::array<WeekShare, 54>& shares) {
  const WeekPattern pattern = week_pattern(days, calendar);
  for (std::size_t end = days.size(); end >= kYear; end -= kYear) {
    double use = 0;
    double expected = 0;
    for (std::size_t i = end - kYear; i < end; ++i) {
      use += days[i].impressions;
      expected += pattern.weight(days[i].day, calendar);
    }
    if (use <= 0 || expected <= 0) continue;
    const double level = use / expected;
    // Busy devices say more: their weeks scatter less.
    const double say = std::min(1.0, use / 5000);
    for (std::size_t from = end - kYear; from + 7 <= end; from += 7) {
      double week_use = 0;
      double week_expected = 0;
      for (std::size_t i = from; i < from + 7; ++i) {
        week_use += days[i].impressions;
        week_expected += pattern.weight(days[i].day, calendar);
      }
      if (week_expected < 0.5) continue;                                       // nearly all holidays
      const double share = std::min(week_use / (level * week_expected), 4.0);  // one burst is not a season
      // The seven days belong to one or two ISO weeks; the middle one decides.
      WeekShare& entry = shares[static_cast<std::size_t>(iso_week_of(days[from + 3].day).week)];
      entry.sum += say * share;
      entry.squares += say * share * share;
      entry.weight += say;
      entry.weight_squares += say * say;
    }
  }
}

}  // namespace

std::optional<Season> season_of(std::span<const std::vector<DayUse>> devices, const Calendar& calendar) {
  std::array<WeekShare, 54> shares;
  bool any = false;
  for (const auto& days : devices) {
    if (days.size() <= 380) continue;
    add_device(days, calendar, shares);
    any = true;
  }
  if (!any) return std::nullopt;

  // How much one device's week scatters about its week's mean, over all weeks; where only one device
  // and year is there, the scatter between neighbouring weeks stands in.
  double scatter = 0;
  double freedom = 0;
  std::array<double, 54> mean{};
  for (std::size_t week = 1; week <= 53; ++week) {
    const WeekShare& share = shares[week];
    mean[week] = share.weight > 0 ? share.sum / share.weight : 1;
    const double effective = share.weight_squares > 0 ? share.weight * share.weight / share.weight_squares : 0;
    if (effective <= 1.5) continue;
    scatter += (effective - 1) * (share.squares / share.weight - mean[week] * mean[week]) * effective / (effective - 1);
    freedom += effective - 1;
  }
  double noise = 0;
  if (freedom > 20) {
    noise = scatter / freedom;
  } else {
    for (std::size_t week = 2; week <= 52; ++week) noise += std::pow(mean[week] - mean[week - 1], 2) / 2 / 51;
  }

  Season season;
  season.factor.fill(1);
  for (std::size_t week = 1; week <= 53; ++week) {
    const WeekShare& share = shares[week];
    if (share.weight <= 0) continue;
    const double effective = share.weight * share.weight / share.weight_squares;
    const double chance = noise / effective;
    const double off = mean[week] - 1;
    // Positive-part James-Stein for one coordinate at a time.
    const double keep = off == 0 ? 0 : std::max(0.0, 1 - 2 * chance / (off * off + chance));
    season.factor[week] = std::max(0.02, 1 + keep * off);
  }
  return season;
}

}  // namespace frisket::upkeep
