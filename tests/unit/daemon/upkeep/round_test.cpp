#include "daemon/upkeep/round.h"

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;

namespace {

RoundTask task(const std::string& key, double minutes, double value, std::vector<CarriedItem> carry = {}) {
  RoundTask result;
  result.key = key;
  result.minutes = minutes;
  result.value = value;
  result.carry = std::move(carry);
  return result;
}

RoundStop stop(const std::string& device, const std::string& location, std::vector<RoundTask> tasks) {
  return {device, location_from(location), std::move(tasks)};
}

std::vector<std::string> devices(const std::vector<RoundStop>& stops) {
  std::vector<std::string> names;
  for (const RoundStop& entry : stops) names.push_back(entry.device);
  return names;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("a location is read as building, floor and place") {
  CHECK(location_from("Herbarium, first floor") == Location{"Herbarium", 1, ""});
  CHECK(location_from("Palm house, ground floor, ticket desk") == Location{"Palm house", 0, "ticket desk"});
  CHECK(location_from("Offices,2nd floor , room 12, by the window") ==
        Location{"Offices", 2, "room 12, by the window"});
  CHECK(location_from("Offices, Floor 3, print room") == Location{"Offices", 3, "print room"});
  CHECK(location_from("Seed bank, Basement") == Location{"Seed bank", -1, ""});
  CHECK(location_from("Seed bank, level -2") == Location{"Seed bank", -2, ""});
  CHECK(location_from("Gate") == Location{"Gate", 0, ""});
  CHECK(location_from("Gate, shop floor") == Location{"Gate", 0, "shop floor"});
  CHECK(location_from("") == Location{});
  CHECK(location_from(" , ,") == Location{});
}

TEST_CASE("the walk goes building by building, upwards, and counts rooms by number") {
  const std::vector<RoundStop> all{
      stop("e", "Offices, first floor, room 12", {task("t", 5, 10)}),
      stop("d", "Offices, first floor, room 9", {task("t", 5, 10)}),
      stop("c", "offices, ground floor", {task("t", 5, 10)}),
      stop("b", "Herbarium, second floor", {task("t", 5, 10)}),
      stop("a", "Herbarium, basement", {task("t", 5, 10)}),
  };
  const RoundPlan plan = plan_round(all, {});
  CHECK(devices(plan.stops) == Names{"a", "b", "c", "d", "e"});
  // 1.5 + 3 floors; 8 + 2 floors down; 1.5 + one floor; same floor
  CHECK(plan.walking_minutes == Approx(7.5 + 12 + 3.5 + 1.5));
  CHECK(plan.minutes == Approx(25 + 24.5));
}

TEST_CASE("a budget takes the best value per minute, the way there included") {
  const std::vector<RoundStop> all{
      stop("near", "Offices, ground floor, hall", {task("small", 5, 20)}),
      stop("beside", "Offices, ground floor, desk", {task("small", 5, 20)}),
      stop("far", "Herbarium, ground floor", {task("big", 10, 45)}),
  };
  RoundLimits limits;
  limits.minutes = 30;
  limits.start = location_from("Offices, ground floor, workshop");
  const RoundPlan plan = plan_round(all, limits);
  CHECK(devices(plan.stops) == Names{"beside", "near"});
  CHECK(devices(plan.left) == Names{"far"});
  CHECK(plan.minutes == Approx(10 + 4.5));
  limits.minutes = 60;
  CHECK(plan_round(all, limits).left.empty());
}

TEST_CASE("two small tasks together may pay for a way that one does not") {
  const std::vector<RoundStop> all{
      stop("far", "Herbarium, ground floor", {task("one", 2, 10), task("two", 2, 10)}),
      stop("near", "Offices, ground floor", {task("dull", 10, 9)}),
  };
  RoundLimits limits;
  limits.minutes = 20;
  limits.start = location_from("Offices, ground floor");
  const RoundPlan plan = plan_round(all, limits);  // 20 in 20 minutes against 9 in 10
  CHECK(devices(plan.stops) == Names{"far"});
}

TEST_CASE("no budget is ever exceeded, and nothing is lost or done twice") {
  std::vector<RoundStop> all;
  for (int i = 0; i < 60; ++i) {
    all.push_back(
        stop("device-" + std::to_string(i),
             "Building " + std::to_string(i % 4) + ", floor " + std::to_string(i % 3) + ", room " + std::to_string(i),
             {task("x", 3 + i % 7, 1 + (i * 37) % 50), task("y", 2 + i % 5, (i * 53) % 40)}));
  }
  for (const double minutes : {0.0, 10.0, 60.0, 240.0, 1000.0}) {
    RoundLimits limits;
    limits.minutes = minutes;
    limits.least_value = 0;
    const RoundPlan plan = plan_round(all, limits);
    CHECK(plan.minutes <= minutes + 1e-6);
    std::size_t tasks = 0;
    double work = 0, walk = 0;
    const Location* before = nullptr;
    for (const RoundStop& entry : plan.stops) {
      tasks += entry.tasks.size();
      for (const RoundTask& part : entry.tasks) work += part.minutes;
      if (before != nullptr) walk += minutes_between(Spot(*before), Spot(entry.location));
      before = &entry.location;
    }
    for (const RoundStop& entry : plan.left) tasks += entry.tasks.size();
    CHECK(tasks == 120);
    CHECK(plan.walking_minutes == Approx(walk).margin(1e-6));
    CHECK(plan.minutes == Approx(work + walk).margin(1e-6));
  }
}

TEST_CASE("parts to carry are summed over the stops that are gone to") {
  const CarriedItem black{"HT-40K", "Hortus", "black", 1};
  const CarriedItem cyan{"HT-40C", "Hortus", "cyan", 2};
  const RoundPlan plan = plan_round(
      std::vector{stop("a", "Gate", {task("t", 5, 10, {black, cyan})}), stop("b", "Gate", {task("t", 5, 10, {black})}),
                  stop("c", "Gate", {task("t", 5, 0.5, {black})})},
      {});
  CHECK(plan.carry == std::vector<CarriedItem>{{"HT-40K", "Hortus", "black", 2}, cyan});
  CHECK(devices(plan.left) == Names{"c"});
}

TEST_CASE("what will fail before the next visit is worth more than what can wait") {
  const WallTime now = at("2026-11-25T08:00:00Z");
  const auto days = [&](int count) { return now + 24h * count; };
  DepletionForecast soon;
  soon.p10 = days(3);
  soon.p50 = days(5);
  soon.p90 = days(8);
  DepletionForecast later = soon;
  later.p10 = days(60);
  later.p50 = days(90);
  later.p90 = days(140);
  CHECK(chance_before(soon, now, days(14)) > 0.95);
  CHECK(chance_before(soon, now, days(5)) == Approx(0.5));
  CHECK(chance_before(soon, now, days(3)) == Approx(0.1).margin(1e-6));
  CHECK(chance_before(soon, now, days(8)) == Approx(0.9).margin(1e-6));
  CHECK(chance_before(later, now, days(14)) < 0.001);
  DepletionForecast none;
  none.no_date = NoDate::some_left_only;
  CHECK(chance_before(none, now, days(14)) == 0);
  CHECK(value_of(frisket::model::Severity::critical) > kEmptySupply);
}

TEST_CASE("no candidates, no round") {
  CHECK(plan_round({}, {}).stops.empty());
  CHECK(plan_round({}, {}).minutes == 0);
}
