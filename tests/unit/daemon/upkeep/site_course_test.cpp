#include "daemon/upkeep/site_course.h"

#include <random>

#include "daemon/upkeep/use_forecast.h"
#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::calendar;
using moments::day;

namespace {

// Thirty weeks of an office; the last three at `quiet` times the use; chance of its own per device.
std::vector<std::vector<DayUse>> site(int devices, double quiet) {
  std::mt19937 random(7);
  std::vector<std::vector<DayUse>> all;
  for (int device = 0; device < devices; ++device) {
    all.emplace_back();
    for (int i = 0; i < 210; ++i) {
      const LocalDay date = day(2026, 1, 5) + std::chrono::days{i};
      const double mean = weekday_of(date) < 5 ? 100 * (i >= 189 ? quiet : 1) : 0;
      all.back().push_back({date, mean * std::uniform_real_distribution<>(0.6, 1.4)(random), false});
    }
  }
  return all;
}

}  // namespace

TEST_CASE("when all devices of a site fall quiet together, the course says so within weeks") {
  const auto course = site_course(site(8, 0.4), calendar("UTC"));
  REQUIRE(course);
  CHECK(course->of(day(2026, 8, 2)) == Approx(0.43).margin(0.08));  // relative to a mean that has fallen a little
  CHECK(course->of(day(2026, 6, 10)) == Approx(1.06).margin(0.08));
  CHECK(course->of(day(2020, 1, 1)) == 1);
  CHECK(course->foretold(0, 0) == Approx(0.43).margin(0.08));
  CHECK(course->foretold(0, 1) > course->foretold(0, 0));
  CHECK(course->foretold(0, 200) == Approx(1).margin(1e-6));
}

TEST_CASE("chance in each device is not taken for a course") {
  const auto course = site_course(site(8, 1), calendar("UTC"));
  REQUIRE(course);
  int moved = 0;
  for (const double week : course->weeks) moved += std::abs(week - 1) > 0.05 ? 1 : 0;
  CHECK(moved <= 2);
}

TEST_CASE("a device's forecast follows the site's course") {
  const auto devices = site(8, 0.4);
  const Calendar utc = calendar("UTC");
  const auto with = fit_use(devices[0], utc, std::nullopt, site_course(devices, utc));
  REQUIRE(with);
  CHECK(with->expected(day(2026, 8, 3), utc) == Approx(43).margin(8));
}

TEST_CASE("a device that is silent now lacks the last weeks and shifts none") {
  auto devices = site(8, 0.4);
  devices[3].resize(200);  // ten days short
  const auto course = site_course(devices, calendar("UTC"));
  REQUIRE(course);
  CHECK(course->end == day(2026, 8, 3));
  CHECK(course->of(day(2026, 8, 2)) == Approx(0.43).margin(0.08));
  CHECK(course->of(day(2026, 7, 12)) == Approx(1.06).margin(0.08));  // the week before the quiet ones
}

TEST_CASE("two devices, or five weeks, are no site's course") {
  CHECK_FALSE(site_course(site(2, 0.4), calendar("UTC")));
  auto young = site(5, 0.4);
  for (auto& device : young) device.resize(41);
  CHECK_FALSE(site_course(young, calendar("UTC")));
  CHECK_FALSE(site_course({}, calendar("UTC")));
}
