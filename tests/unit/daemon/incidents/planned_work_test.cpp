// Windows of planned work in local time (planned_work.h). The changes of the clocks are those of the IANA time
// zone database for Europe/Berlin: 2026-10-25 and 2027-03-28, both at 01:00 UTC.
#include "daemon/incidents/planned_work.h"

#include <catch2/catch.hpp>

using namespace frisket;
using namespace frisket::incidents;
using namespace std::chrono_literals;
using config::Maintenance;
using model::WallTime;

namespace {

constexpr auto kZone = "Europe/Berlin";

constexpr auto day(int year, unsigned month, unsigned day_of_month) {
  return std::chrono::year{year} / static_cast<int>(month) / static_cast<int>(day_of_month);
}

WallTime utc(std::chrono::year_month_day date, std::chrono::seconds time) {
  return WallTime{std::chrono::sys_days{date}} + time;
}

std::chrono::local_seconds local(std::chrono::year_month_day date, std::chrono::seconds time) {
  return std::chrono::local_seconds{std::chrono::local_days{date}} + time;
}

Maintenance weekly(std::vector<std::chrono::weekday> days, std::chrono::minutes from, std::chrono::minutes to) {
  Maintenance plan;
  plan.days = std::move(days);
  plan.from = from;
  plan.to = to;
  return plan;
}

Maintenance once(std::chrono::local_seconds start, std::chrono::local_seconds end) {
  Maintenance plan;
  plan.start = start;
  plan.end = end;
  return plan;
}

// On from the first of the two instants, off from the second.
void check_on_between(const Maintenance& plan, const std::string& zone, WallTime begins, WallTime ends) {
  CHECK_FALSE(is_on(plan, zone, begins - 1ms));
  CHECK(is_on(plan, zone, begins));
  CHECK(is_on(plan, zone, ends - 1ms));
  CHECK_FALSE(is_on(plan, zone, ends));
}

}  // namespace

TEST_CASE("a weekly window is on at its day and local time only") {
  // 2026-07-18 is a Saturday; Berlin is two hours ahead of UTC.
  const auto plan = weekly({std::chrono::Saturday}, 6h, 9h + 30min);
  check_on_between(plan, kZone, utc(day(2026, 7, 18), 4h), utc(day(2026, 7, 18), 7h + 30min));
  CHECK_FALSE(is_on(plan, kZone, utc(day(2026, 7, 17), 5h)));
  CHECK(is_on(plan, kZone, utc(day(2026, 7, 25), 5h)));
  // In winter it is one hour.
  check_on_between(plan, kZone, utc(day(2026, 1, 17), 5h), utc(day(2026, 1, 17), 8h + 30min));
}

TEST_CASE("a window that ends before it begins goes over midnight, and belongs to the day it begins on") {
  const auto plan = weekly({std::chrono::Saturday}, 22h, 4h);
  check_on_between(plan, "UTC", utc(day(2026, 7, 18), 22h), utc(day(2026, 7, 19), 4h));
  CHECK_FALSE(is_on(plan, "UTC", utc(day(2026, 7, 18), 2h)));   // the night from Friday
  CHECK_FALSE(is_on(plan, "UTC", utc(day(2026, 7, 19), 23h)));  // the night to Monday
}

TEST_CASE("a window from a time to the same time is a whole day") {
  const auto plan = weekly({std::chrono::Saturday}, 6h, 6h);
  check_on_between(plan, "UTC", utc(day(2026, 7, 18), 6h), utc(day(2026, 7, 19), 6h));
}

TEST_CASE("a window without days is on every day") {
  const auto plan = weekly({}, 22h, 4h);
  for (unsigned i = 13; i < 20; ++i)
    check_on_between(plan, "UTC", utc(day(2026, 7, i), 22h), utc(day(2026, 7, i), 28h));
}

TEST_CASE("a nightly window is an hour longer when the clocks go back, and an hour shorter when they go forward") {
  const auto plan = weekly({}, 22h, 6h);
  check_on_between(plan, kZone, utc(day(2026, 10, 24), 20h), utc(day(2026, 10, 25), 5h));  // 9 hours
  check_on_between(plan, kZone, utc(day(2027, 3, 27), 21h), utc(day(2027, 3, 28), 4h));    // 7 hours
}

TEST_CASE("a local time that comes twice counts the first time") {
  // 02:30 is 00:30 UTC and 01:30 UTC.
  check_on_between(weekly({}, 2h + 30min, 5h), kZone, utc(day(2026, 10, 25), 30min), utc(day(2026, 10, 25), 4h));
  check_on_between(weekly({}, 1h, 2h + 30min), kZone, utc(day(2026, 10, 24), 23h), utc(day(2026, 10, 25), 30min));
  // Of a window within that hour, the first hour is meant; it is not on again an hour later.
  check_on_between(weekly({}, 2h + 15min, 2h + 45min), kZone, utc(day(2026, 10, 25), 15min),
                   utc(day(2026, 10, 25), 45min));
  CHECK_FALSE(is_on(weekly({}, 2h + 15min, 2h + 45min), kZone, utc(day(2026, 10, 25), 1h + 30min)));
}

TEST_CASE("a local time that the clocks leave out is the instant of the change") {
  check_on_between(weekly({}, 2h + 30min, 5h), kZone, utc(day(2027, 3, 28), 1h), utc(day(2027, 3, 28), 3h));
  check_on_between(weekly({}, 1h, 2h + 30min), kZone, utc(day(2027, 3, 28), 0h), utc(day(2027, 3, 28), 1h));
  // A window that lies wholly in the hour that is left out is not on that day.
  const auto left_out = weekly({}, 2h + 15min, 2h + 45min);
  for (auto at = utc(day(2027, 3, 28), 0h); at < utc(day(2027, 3, 28), 20h); at += 5min)
    CHECK_FALSE(is_on(left_out, kZone, at));
}

TEST_CASE("work that is planned once is on between two moments in local time") {
  check_on_between(once(local(day(2026, 7, 18), 6h), local(day(2026, 7, 20), 9h)), kZone, utc(day(2026, 7, 18), 4h),
                   utc(day(2026, 7, 20), 7h));
  check_on_between(once(local(day(2026, 10, 25), 2h + 30min), local(day(2026, 10, 25), 3h)), kZone,
                   utc(day(2026, 10, 25), 30min), utc(day(2026, 10, 25), 2h));
}

TEST_CASE("work without an end goes on") {
  auto plan = once(local(day(2026, 7, 18), 6h), {});
  plan.end.reset();
  CHECK_FALSE(is_on(plan, "UTC", utc(day(2026, 7, 18), 6h) - 1ms));
  CHECK(is_on(plan, "UTC", utc(day(2036, 7, 18), 6h)));
}

TEST_CASE("a site of which the zone is not known is taken for UTC") {
  check_on_between(weekly({}, 6h, 8h), "Nowhere/Garden", utc(day(2026, 7, 18), 6h), utc(day(2026, 7, 18), 8h));
}

TEST_CASE("planned work is of the sites and devices that it names, or of all") {
  config::Config config;
  config.sites = {{"glasshouse", "UTC"}, {"arboretum", "UTC"}};
  const auto noon = utc(day(2026, 7, 18), 12h);
  const auto planned_at = [&](std::vector<std::string> sites, std::vector<std::string> devices, const std::string& site,
                              const std::string& device) {
    auto plan = weekly({}, 11h, 13h);
    plan.sites = std::move(sites);
    plan.devices = std::move(devices);
    config.maintenance = {plan};
    PlannedWork planned;
    planned.configure(config);
    return planned.at(site, device, noon);
  };
  CHECK(planned_at({}, {}, "glasshouse", "fern-copier"));
  CHECK(planned_at({}, {}, "glasshouse", ""));
  CHECK(planned_at({"glasshouse"}, {}, "glasshouse", "fern-copier"));
  CHECK(planned_at({"glasshouse"}, {}, "glasshouse", ""));
  CHECK_FALSE(planned_at({"glasshouse"}, {}, "arboretum", "oak-printer"));
  CHECK(planned_at({}, {"fern-copier"}, "glasshouse", "fern-copier"));
  CHECK_FALSE(planned_at({}, {"fern-copier"}, "glasshouse", "palm-copier"));
  CHECK_FALSE(planned_at({}, {"fern-copier"}, "glasshouse", ""));  // the site as a whole is not worked on
  CHECK(planned_at({"arboretum"}, {"fern-copier"}, "glasshouse", "fern-copier"));
}

TEST_CASE("each site's windows are in its own time") {
  config::Config config;
  config.sites = {{"glasshouse", "UTC"}, {"arboretum", kZone}};
  config.maintenance = {weekly({}, 6h, 7h)};
  PlannedWork planned;
  planned.configure(config);
  CHECK(planned.at("glasshouse", "", utc(day(2026, 7, 18), 6h)));
  CHECK_FALSE(planned.at("arboretum", "", utc(day(2026, 7, 18), 6h)));
  CHECK(planned.at("arboretum", "", utc(day(2026, 7, 18), 4h)));
}
