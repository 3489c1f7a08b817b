// What follows from what was before (history.h), and its bounds.
#include "daemon/incidents/history.h"

#include <catch2/catch.hpp>

#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;

namespace {

const config::Rules kRules;

// One device's life, reading by reading.
struct Life {
  DeviceMemory memory;
  WallTime at = kMorning;

  const std::vector<Condition>& read(const model::DeviceSnapshot& snapshot, std::chrono::seconds later) {
    at += later;
    memory = derive(snapshot, kRules, memory, at).memory;
    return memory.conditions;
  }
};

bool has(const std::vector<Condition>& conditions, std::string_view keyword, Subunit subunit) {
  return std::ranges::any_of(conditions, [&](const Condition& condition) {
    return condition.keyword == keyword && condition.subunit == subunit;
  });
}

model::DeviceSnapshot jammed(std::int32_t tray, std::uint32_t impressions) {
  auto snapshot = healthy();
  snapshot.markers[0].life_count = impressions;
  snapshot.alerts = {alert(AlertSeverity::critical, AlertGroup::input, tray, AlertCode::jam)};
  return snapshot;
}

model::DeviceSnapshot printed(std::uint32_t impressions) {
  auto snapshot = healthy();
  snapshot.markers[0].life_count = impressions;
  return snapshot;
}

model::DeviceSnapshot cover_open(std::int32_t index) {
  auto snapshot = healthy();
  snapshot.covers[static_cast<std::size_t>(index - 1)].status = model::CoverStatus::cover_open;
  return snapshot;
}

constexpr Subunit kTray2{Subunit::Kind::input, 2};
constexpr Subunit kCover1{Subunit::Kind::cover, 1};

}  // namespace

TEST_CASE("the third jam at one tray within a day is recurring, jams at different trays are not") {
  Life same;
  Life different;
  for (std::uint32_t i = 1; i <= 3; ++i) {
    const auto& at_one = same.read(jammed(2, 1000 * i), 1h);
    CHECK(has(at_one, "jam-recurring", kTray2) == (i == 3));
    same.read(printed(1000 * i + 500), 30s);
    const auto& at_two = different.read(jammed(i == 3 ? 1 : 2, 1000 * i), 1h);
    CHECK_FALSE(has(at_two, "jam-recurring", kTray2));
    different.read(printed(1000 * i + 500), 30s);
  }
}

TEST_CASE("a recurring jam is over when the first of the three is a day ago") {
  Life life;
  for (std::uint32_t i = 1; i <= 3; ++i) {
    life.read(jammed(2, 1000 * i), 1h);
    life.read(printed(1000 * i + 500), 30s);
  }
  CHECK(has(life.read(printed(9000), 24h - 2h - 1min - 31s), "jam-recurring", kTray2));
  CHECK_FALSE(has(life.read(printed(9001), 1min), "jam-recurring", kTray2));
}

TEST_CASE("a jam between which no page came through counts once, one without counters counts each time") {
  Life counted;
  Life uncounted;
  auto no_counter = jammed(2, 0);
  no_counter.markers[0].life_count.reset();
  auto clear = healthy();
  clear.markers[0].life_count.reset();
  for (int i = 0; i < 5; ++i) {
    counted.read(jammed(2, 1000), 1min);
    counted.read(printed(1000), 1min);
    uncounted.read(no_counter, 1min);
    uncounted.read(clear, 1min);
  }
  CHECK(counted.memory.jams.at("jam@input:2").size() == 1);
  CHECK(uncounted.memory.jams.at("jam@input:2").size() == 5);
}

TEST_CASE("what is remembered of jams is bounded in number and in age") {
  Life life;
  for (std::uint32_t i = 1; i <= 500; ++i) {
    life.read(jammed(2, 10 * i), 10s);
    life.read(printed(10 * i + 5), 10s);
  }
  CHECK(life.memory.jams.at("jam@input:2").size() <= 64);
  life.read(printed(9999), 24h);
  CHECK(life.memory.jams.empty());
}

TEST_CASE("places that no longer exist are not remembered for ever") {
  Life life;
  for (std::int32_t i = 1; i <= 200; ++i) {
    auto snapshot = healthy();
    snapshot.covers = {cover(i, "Cover")};
    snapshot.covers[0].status = model::CoverStatus::cover_open;
    life.read(snapshot, 10s);
    life.read(healthy(), 10s);
  }
  CHECK(life.memory.ended.size() <= 20);  // those of misload_within
  life.read(healthy(), 1h);
  CHECK(life.memory.ended.empty());
}

TEST_CASE("a cover is taken for one that cannot close after ten minutes, not a second before") {
  Life life;
  life.read(cover_open(1), 0s);
  CHECK_FALSE(has(life.read(cover_open(1), 10min - 1s), "tray-misload", kCover1));
  CHECK(has(life.read(cover_open(1), 1s), "tray-misload", kCover1));
  CHECK(has(life.read(cover_open(1), 24h), "tray-misload", kCover1));
  CHECK_FALSE(has(life.read(healthy(), 30s), "tray-misload", kCover1));
}

TEST_CASE("a cover that opens again within five minutes cannot close, later or another one it is only open") {
  for (const auto& [after, index, misload] :
       {std::tuple(300s, 1, true), std::tuple(301s, 1, false), std::tuple(60s, 2, false)}) {
    Life life;
    life.read(cover_open(1), 0s);
    life.read(healthy(), 30s);
    const auto& conditions = life.read(cover_open(index), after);
    CHECK(has(conditions, "tray-misload", Subunit{Subunit::Kind::cover, index}) == misload);
  }
}

TEST_CASE("covers that are opened and closed while paper is jammed do not fail to close") {
  Life life;
  auto both = jammed(2, 1000);
  both.covers[0].status = model::CoverStatus::cover_open;
  life.read(jammed(2, 1000), 0s);
  life.read(both, 30s);
  life.read(jammed(2, 1000), 30s);
  CHECK_FALSE(has(life.read(both, 30s), "tray-misload", kCover1));
  life.read(both, 20min);
  CHECK_FALSE(has(life.memory.conditions, "tray-misload", kCover1));
}

TEST_CASE("who changes a supply is at work, and for three minutes after") {
  Life life;
  auto empty = healthy();
  empty.supplies = {toner(1, "black", 0)};
  life.read(empty, 0s);
  CHECK(is_at_work(life.memory, kRules, life.at));
  life.read(healthy(), 30s);
  CHECK(is_at_work(life.memory, kRules, kMorning + 180s));
  CHECK_FALSE(is_at_work(life.memory, kRules, kMorning + 181s));
}

TEST_CASE("a low supply alone is nobody at work") {
  Life life;
  auto low = healthy();
  low.supplies = {toner(1, "black", 5)};
  life.read(low, 0s);
  CHECK_FALSE(is_at_work(life.memory, kRules, life.at));
}

TEST_CASE("a cover that does not close keeps its incident over a restart, also if nothing is kept of the device") {
  Correlator before(one_device());
  before.apply(reading(cover_open(1), kMorning));
  REQUIRE(before.apply(reading(cover_open(1), kMorning + 10min)).size() == 1);
  const auto memory = before.memory();
  REQUIRE(memory.incidents.front().kind == "tray-misload");
  auto incidents_only = memory;
  incidents_only.devices.clear();
  for (const auto& kept : {memory, incidents_only}) {
    Correlator after(one_device());
    CHECK(after.restore(kept, kMorning + 11min).empty());
    CHECK(after.apply(reading(cover_open(1), kMorning + 12min)).empty());
    REQUIRE(after.incidents().size() == 1);
    CHECK(after.incidents().front()->id == memory.incidents.front().id);
    CHECK(after.incidents().front()->kind == "tray-misload");
    CHECK(after.apply(reading(healthy(), kMorning + 13min)).size() == 1);
  }
}

TEST_CASE("a restart while a cover stands open does not begin its ten minutes again") {
  Correlator before(one_device());
  before.apply(reading(cover_open(1), kMorning));
  const auto memory = before.memory();
  auto incidents_only = memory;
  incidents_only.devices.clear();
  for (const auto& kept : {memory, incidents_only}) {
    Correlator after(one_device());
    CHECK(after.restore(kept, kMorning + 5min).empty());
    CHECK(after.apply(reading(cover_open(1), kMorning + 10min - 1s)).empty());
    const auto transitions = after.apply(reading(cover_open(1), kMorning + 10min));
    REQUIRE(transitions.size() == 1);
    CHECK(transitions[0].incident.kind == "tray-misload");
    CHECK(transitions[0].incident.id == memory.incidents.front().id);
  }
}

TEST_CASE("a cover that is closed in the moment in which a jam goes or comes was opened for work") {
  Life after_the_jam;
  auto both = jammed(2, 1000);
  both.covers[0].status = model::CoverStatus::cover_open;
  after_the_jam.read(jammed(2, 1000), 0s);
  after_the_jam.read(both, 30s);
  after_the_jam.read(printed(1000), 30s);
  CHECK_FALSE(has(after_the_jam.read(cover_open(1), 30s), "tray-misload", kCover1));

  Life before_the_jam;
  before_the_jam.read(cover_open(1), 0s);
  before_the_jam.read(jammed(2, 1000), 30s);
  before_the_jam.read(printed(1000), 30s);
  CHECK_FALSE(has(before_the_jam.read(cover_open(1), 30s), "tray-misload", kCover1));
}

TEST_CASE("a cover and its interlock that stand open are one thing that does not close") {
  Life life;
  auto snapshot = cover_open(1);
  snapshot.alerts = {alert(AlertSeverity::critical, AlertGroup::cover, 1, AlertCode::interlock_open)};
  life.read(snapshot, 0s);
  const auto& conditions = life.read(snapshot, 10min);
  REQUIRE(has(conditions, "cover-open", kCover1));
  REQUIRE(has(conditions, "interlock-open", kCover1));
  CHECK(std::ranges::count(conditions, "tray-misload", &Condition::keyword) == 1);
}
