#include "daemon/upkeep/use_forecast.h"

#include <cmath>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::calendar;
using moments::day;

namespace {

// Whole weeks from a Monday on, 100 impressions each working day.
std::vector<DayUse> office_weeks(int weeks, LocalDay first = day(2026, 1, 5)) {
  std::vector<DayUse> days;
  for (int i = 0; i < 7 * weeks; ++i) {
    const LocalDay date = first + std::chrono::days{i};
    days.push_back({date, weekday_of(date) < 5 ? 100.0 : 0.0, false});
  }
  return days;
}

}  // namespace

TEST_CASE("a steady office is foretold to print what it printed, and nothing at weekends") {
  const Calendar site = calendar("Europe/Dublin");
  const auto model = fit_use(office_weeks(52), site);
  REQUIRE(model);
  CHECK(model->expected(day(2027, 1, 4), site) == Approx(100).epsilon(0.02));
  CHECK(model->expected(day(2027, 1, 9), site) < 2);
  const UseForecast forecast(*model, site, site.start_of(day(2027, 1, 4)), 28);
  CHECK(forecast.total(7) == Approx(500).epsilon(0.01));
  CHECK(forecast.total(28) == Approx(2000).epsilon(0.01));
  CHECK(forecast.end_of(7) == site.start_of(day(2027, 1, 11)));
}

TEST_CASE("holidays count as the quiet days that they are, before any has been seen") {
  const Calendar site = calendar("Europe/Dublin", {day(2026, 3, 17)});
  const auto model = fit_use(office_weeks(8), site);
  REQUIRE(model);
  CHECK(model->expected(day(2026, 3, 17), site) < 10);
  CHECK(model->expected(day(2026, 3, 18), site) > 90);
}

TEST_CASE("what is left of today is what is still to come") {
  const Calendar site = calendar("UTC");
  const auto model = fit_use(office_weeks(20), site);
  REQUIRE(model);
  const auto monday = site.start_of(day(2026, 5, 25));
  CHECK(UseForecast(*model, site, monday + 13h, 1).total(1) == Approx(50).epsilon(0.03));
  CHECK(UseForecast(*model, site, monday + 20h, 1).total(1) == 0);
}

TEST_CASE("little history gives wide limits, and less than ten days none at all") {
  const Calendar site = calendar("UTC");
  const auto few = fit_use(office_weeks(2), site);
  const auto many = fit_use(office_weeks(80), site);
  REQUIRE(few);
  REQUIRE(many);
  CHECK(few->relative_variance(4) > 3 * many->relative_variance(4));
  auto days = office_weeks(2);
  days.resize(9);
  CHECK_FALSE(fit_use(days, site));
  CHECK_FALSE(fit_use({}, site));
}

TEST_CASE("a device that never prints has a level of zero and no number that is none") {
  const Calendar site = calendar("UTC");
  auto days = office_weeks(30);
  for (DayUse& entry : days) entry.impressions = 0;
  const auto model = fit_use(days, site);
  REQUIRE(model);
  CHECK(model->level == 0);
  const UseForecast forecast(*model, site, site.start_of(day(2026, 9, 1)), 30);
  CHECK(forecast.total(30) == 0);
  CHECK(forecast.quantile(30, 0.9) == 0);
  CHECK(std::isfinite(forecast.relative_variance(30)));
}

TEST_CASE("a year's course is learnt from the site's devices together, and used the year after") {
  const Calendar site = calendar("UTC");
  std::vector<std::vector<DayUse>> devices(6, office_weeks(104, day(2024, 1, 1)));
  for (auto& device : devices) {
    for (DayUse& entry : device) {
      const int week = iso_week_of(entry.day).week;
      if (week >= 28 && week <= 35) entry.impressions *= 0.4;
    }
  }
  const auto season = season_of(devices, site);
  REQUIRE(season);
  CHECK(season->of(day(2026, 7, 29)) / season->of(day(2026, 5, 6)) == Approx(0.4).epsilon(0.1));
  const auto model = fit_use(devices[0], site, season);
  REQUIRE(model);
  CHECK(model->expected(day(2026, 7, 29), site) == Approx(40).epsilon(0.12));
  CHECK(model->expected(day(2026, 5, 6), site) == Approx(100).epsilon(0.06));
}

TEST_CASE("there is no season without a year") {
  const std::vector<std::vector<DayUse>> devices(3, office_weeks(50));
  CHECK_FALSE(season_of(devices, calendar("UTC")));
  CHECK_FALSE(season_of({}, calendar("UTC")));
}

TEST_CASE("quantiles rise with probability and with time") {
  const Calendar site = calendar("UTC");
  const auto model = fit_use(office_weeks(30), site);
  REQUIRE(model);
  const UseForecast forecast(*model, site, site.start_of(day(2026, 9, 1)), 60);
  CHECK(forecast.quantile(20, 0.1) < forecast.quantile(20, 0.5));
  CHECK(forecast.quantile(20, 0.5) < forecast.quantile(20, 0.9));
  CHECK(forecast.quantile(20, 0.5) < forecast.quantile(40, 0.5));
}
