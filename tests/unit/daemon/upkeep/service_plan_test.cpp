#include "daemon/upkeep/service_plan.h"

#include <set>

#include "daemon/upkeep/depletion.h"

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;
using moments::calendar;
using moments::day;

namespace {

const WallTime kNow = at("2026-11-25T00:00:00Z");

ServiceTask rollers() {
  ServiceTask task;
  task.key = "feed-rollers";
  task.every_impressions = 25000;
  task.every_days = 365;
  return task;
}

}  // namespace

TEST_CASE("the interval that runs out first decides") {
  DeviceUse device;
  device.since = kNow - 24h * 100;
  device.impressions = 26000;
  const TaskStatus status = status_of(rollers(), {}, device, kNow);
  CHECK(status.due == Due::due);
  CHECK(status.share == Approx(26000.0 / 25000));
  CHECK(!status.last);
  CHECK(status.next == kNow);
  CHECK(why(status, rollers()) ==
        "26000 of 25000 impressions, 100 of 365 days since the first reading; not known to have been done");
}

TEST_CASE("done sets it back, and the latest of several counts") {
  DeviceUse device;
  device.since = kNow - 24h * 900;
  device.impressions = 90000;
  const std::vector<TaskDone> done{{"feed-rollers", kNow - 24h * 30, "rosa", 88000, {}},
                                   {"feed-rollers", kNow - 24h * 400, "rosa", 40000, {}},
                                   {"fuser", kNow - 24h, "rosa", 89900, {}}};
  const TaskStatus status = status_of(rollers(), done, device, kNow);
  CHECK(status.due == Due::later);
  REQUIRE(status.last);
  CHECK(status.last->impressions == 88000);
  CHECK(status.next == kNow - 24h * 30 + 24h * 365);
}

TEST_CASE("ten percent past its interval is overdue") {
  DeviceUse device;
  device.since = kNow - 24h * 402;
  CHECK(status_of(rollers(), {}, device, kNow).due == Due::overdue);
  device.since = kNow - 24h * 400;
  CHECK(status_of(rollers(), {}, device, kNow).due == Due::due);
}

TEST_CASE("the next date by impressions comes from the use forecast") {
  const Calendar site = calendar("UTC");
  std::vector<DayUse> days;
  for (int i = 0; i < 200; ++i) days.push_back({day(2026, 5, 9) + std::chrono::days{i}, 100, false});
  const auto model = fit_use(days, site);
  REQUIRE(model);
  const UseForecast use(*model, site, kNow, kHorizonDays);
  DeviceUse device;
  device.since = kNow - 24h * 200;
  device.impressions = 24000;
  device.use = &use;
  const TaskStatus status = status_of(rollers(), {}, device, kNow);
  CHECK(status.due == Due::soon);
  REQUIRE(status.next);
  CHECK(days_between(kNow, *status.next) == Approx(10).margin(1.1));
}

TEST_CASE("a counter of the device's own works like impressions") {
  ServiceTask task;
  task.key = "tray-2-rollers";
  task.counter = "sheets from tray 2";
  task.every_counts = 5000;
  DeviceUse device;
  device.since = kNow - 24h;
  CHECK(status_of(task, {}, device, kNow).due == Due::later);  // the device does not tell it
  device.counter = 12000;
  const std::vector<TaskDone> done{{"tray-2-rollers", kNow - 24h * 9, "rosa", 0, 7100}};
  const TaskStatus status = status_of(task, done, device, kNow);
  CHECK(status.share == Approx(0.98));
  CHECK(why(status, task) == "4900 of 5000 sheets from tray 2 since it was last done");
}

TEST_CASE("every default task has an interval, steps, and cautions before them") {
  for (const auto marking : {Marking::toner, Marking::ink, Marking::thermal, Marking::other}) {
    std::set<std::string> keys;
    CHECK(default_tasks(marking).size() >= 2);
    for (const ServiceTask& task : default_tasks(marking)) {
      INFO(task.key);
      CHECK(keys.insert(task.key).second);
      CHECK((task.every_impressions || task.every_days));
      CHECK_FALSE(task.cautions.empty());
      CHECK_FALSE(task.steps.empty());
    }
  }
}

TEST_CASE("only what marks with toner has a fuser and toner to be cleaned out") {
  const auto speaks_of = [](Marking marking, std::string_view word) {
    return std::ranges::any_of(default_tasks(marking), [&](const ServiceTask& task) {
      return task.title.find(word) != std::string::npos ||
             std::ranges::any_of(task.cautions, [&](const auto& each) { return each.find(word) != std::string::npos; });
    });
  };
  for (const auto* word : {"fuser", "toner"}) {
    CHECK(speaks_of(Marking::toner, word));
    for (const auto marking : {Marking::ink, Marking::thermal, Marking::other}) CHECK_FALSE(speaks_of(marking, word));
  }
  CHECK(default_tasks(Marking::other).front().key == "feed-rollers");
  CHECK(default_tasks(Marking::other).back().key == "dust");
}
