#include "daemon/upkeep/meter.h"

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;
using moments::calendar;
using moments::day;

namespace {

double total(const MeteredUse& use) {
  double sum = 0;
  for (const UseStep& step : use.steps) sum += step.impressions;
  return sum;
}

std::vector<MeterFlag> flags(const MeteredUse& use) {
  std::vector<MeterFlag> result;
  for (const MeterEvent& event : use.events) result.push_back(event.flag);
  return result;
}

using Flags = std::vector<MeterFlag>;

}  // namespace

TEST_CASE("a counter that passes 4294967296 is counted in full") {
  CounterHistory history;
  history.samples = {{at("2026-11-02T08:00:00Z"), 4294967000U}, {at("2026-11-02T12:00:00Z"), 104}};
  const MeteredUse use = unwrap(history, at("2026-11-02T13:00:00Z"));
  CHECK(total(use) == 400);
  CHECK(flags(use) == Flags{MeterFlag::wrapped});
}

TEST_CASE("a reset counts what came after it and is flagged") {
  CounterHistory history;
  history.samples = {{at("2026-11-02T08:00:00Z"), 52000},
                     {at("2026-11-02T12:00:00Z"), 52100},
                     {at("2026-11-03T09:00:00Z"), 30},
                     {at("2026-11-03T10:00:00Z"), 50}};
  const MeteredUse use = unwrap(history, at("2026-11-03T10:00:00Z"));
  CHECK(total(use) == 100 + 30 + 20);
  CHECK(flags(use) == Flags{MeterFlag::reset});
}

TEST_CASE("a counter that was put back a little does not count from zero") {
  CounterHistory history;
  history.samples = {{at("2026-11-02T08:00:00Z"), 1000000}, {at("2026-11-09T09:00:00Z"), 999990}};
  const MeteredUse use = unwrap(history, at("2026-11-09T10:00:00Z"));
  CHECK(total(use) == 0);
  CHECK(flags(use) == Flags{MeterFlag::reset});
}

TEST_CASE("what may have been in any of some months is a flag of each") {
  CounterHistory history;
  history.samples = {{at("2026-01-10T08:00:00Z"), 52000},
                     {at("2026-01-20T08:00:00Z"), 52100},
                     {at("2026-03-05T08:00:00Z"), 40},
                     {at("2026-04-02T08:00:00Z"), 90}};
  history.unobserved = {{at("2026-01-20T09:00:00Z"), at("2026-03-05T08:00:00Z")}};
  history.board_changes = {at("2026-03-05T08:00:00Z")};
  const auto months = by_month(unwrap(history, at("2026-04-03T00:00:00Z")), calendar("UTC"));
  REQUIRE(months.size() == 4);
  for (std::size_t i = 0; i < 3; ++i) CHECK(std::ranges::count(months[i].flags, MeterFlag::board_replaced) == 1);
  CHECK(std::ranges::count(months[3].flags, MeterFlag::board_replaced) == 0);
  CHECK(months[3].impressions == 50);
}

TEST_CASE("a new board's count is not use") {
  CounterHistory history;
  history.samples = {{at("2026-11-02T08:00:00Z"), 52000}, {at("2026-11-03T09:00:00Z"), 52600}};
  history.board_changes = {at("2026-11-03T08:30:00Z")};
  const MeteredUse use = unwrap(history, at("2026-11-03T10:00:00Z"));
  CHECK(total(use) == 0);
  CHECK(flags(use) == Flags{MeterFlag::board_replaced});
}

TEST_CASE("faster than any printer prints is a jump, not use") {
  CounterHistory history;
  history.samples = {{at("2026-11-02T08:00:00Z"), 52000}, {at("2026-11-02T08:01:00Z"), 9000000}};
  const MeteredUse use = unwrap(history, at("2026-11-02T09:00:00Z"));
  CHECK(total(use) == 0);
  CHECK(flags(use) == Flags{MeterFlag::jumped});
}

TEST_CASE("without a gap use belongs to the day on which the counter moved") {
  CounterHistory history;
  history.samples = {{at("2026-11-06T16:00:00Z"), 1000}, {at("2026-11-09T09:00:00Z"), 1012}};  // Friday, Monday
  const auto days = by_day(unwrap(history, at("2026-11-09T10:00:00Z")), calendar("UTC"));
  REQUIRE(days.size() == 4);
  CHECK(days[3].day == day(2026, 11, 9));
  CHECK(days[3].impressions == 12);
  CHECK(days[1].impressions == 0);
  CHECK_FALSE(days[3].estimated);
}

TEST_CASE("use that nobody saw is spread over the time and the months, and says so") {
  CounterHistory history;
  history.samples = {{at("2026-10-29T00:00:00Z"), 1000}, {at("2026-11-03T00:00:00Z"), 1500}};
  history.unobserved = {{at("2026-10-29T01:00:00Z"), at("2026-11-02T23:59:00Z")}};
  const auto use = unwrap(history, at("2026-12-01T00:00:00Z"));
  const auto days = by_day(use, calendar("UTC"));
  CHECK(days[0].impressions == Approx(100));
  CHECK(days[4].impressions == Approx(100));
  CHECK(days[4].estimated);
  CHECK(days[6].impressions == 0);
  const auto months = by_month(use, calendar("UTC"));
  REQUIRE(months.size() == 3);
  CHECK(months[0].impressions == Approx(300));
  CHECK(months[0].flags == Flags{MeterFlag::apportioned, MeterFlag::incomplete});
  CHECK(months[1].impressions == Approx(200));
  CHECK(months[1].flags == Flags{MeterFlag::apportioned});
}

TEST_CASE("a day is an estimate where more than an hour's use is spread into it") {
  CounterHistory history;
  history.samples = {{at("2026-11-05T23:30:00Z"), 1000},
                     {at("2026-11-06T00:30:00Z"), 1060, true},
                     {at("2026-11-06T23:29:00Z"), 1060},
                     {at("2026-11-07T00:30:00Z"), 1121, true}};
  const auto days = by_day(unwrap(history, at("2026-11-07T01:00:00Z")), calendar("UTC"));
  REQUIRE(days.size() == 3);
  CHECK(days[0].impressions == Approx(30));
  CHECK_FALSE(days[0].estimated);
  CHECK(days[1].estimated);
  CHECK(days[2].estimated);
}

TEST_CASE("a month is the site's month, on both sides of its midnight") {
  CounterHistory history;  // Berlin is two hours ahead in June
  history.samples = {{at("2026-05-31T22:00:00Z"), 0},
                     {at("2026-06-30T21:59:00Z"), 70},
                     {at("2026-06-30T22:01:00Z"), 75},
                     {at("2026-07-31T22:00:00Z"), 75}};
  const auto months = by_month(unwrap(history, at("2026-07-31T22:00:00Z")), calendar("Europe/Berlin"));
  REQUIRE(months.size() == 3);  // the last instant is August's first
  CHECK(to_text(months[0].month) == "2026-06");
  CHECK(months[0].impressions == 70);
  CHECK(months[0].flags.empty());
  CHECK(months[1].impressions == 5);
  CHECK(months[1].flags.empty());
  CHECK(months[2].flags == Flags{MeterFlag::incomplete});
}

TEST_CASE("days and months add up to the same as the steps, across clock changes") {
  CounterHistory history;
  std::uint32_t count = 4294900000U;
  for (int i = 0; i < 400; ++i) {
    history.samples.push_back({at("2026-01-01T00:00:00Z") + 19h * i, count, i % 7 == 0});
    count += static_cast<std::uint32_t>(i * 37 % 911);
  }
  const auto use = unwrap(history, history.samples.back().at + 5h);
  double days = 0, months = 0;
  for (const auto& entry : by_day(use, calendar("Europe/Dublin"))) days += entry.impressions;
  for (const auto& entry : by_month(use, calendar("Europe/Dublin"))) months += entry.impressions;
  CHECK(days == Approx(total(use)).epsilon(1e-12));
  CHECK(months == Approx(total(use)).epsilon(1e-12));
  CHECK(counted_until(use, history.samples.back().at) == Approx(total(use)));
}

TEST_CASE("no samples, no use; one sample, none yet") {
  CHECK(by_day(unwrap({}, at("2026-01-01T00:00:00Z")), calendar("UTC")).empty());
  CHECK(by_month(unwrap({}, at("2026-01-01T00:00:00Z")), calendar("UTC")).empty());
  CounterHistory one;
  one.samples = {{at("2026-11-02T08:00:00Z"), 5}};
  CHECK(total(unwrap(one, at("2026-11-03T08:00:00Z"))) == 0);
  CHECK(by_day(unwrap(one, at("2026-11-03T08:00:00Z")), calendar("UTC")).size() == 2);
}
