#include "daemon/upkeep/segments.h"

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::at;

namespace {

// A level history, one sample an hour, twenty impressions each.
struct Told {
  SupplyHistory history;
  int hours = 0;
  void says(frisket::model::Level level) {
    history.samples.push_back(
        {at("2026-11-02T08:00:00Z") + std::chrono::hours(hours), level, Amount{100}, 20.0 * hours, false});
    ++hours;
  }
  void falls(int from, int to, int by = 1) {
    for (int level = from; level >= to; level -= by) says(Amount{level});
  }
};

}  // namespace

TEST_CASE("a rise to full begins a new cartridge") {
  Told told;
  told.falls(40, 3);
  told.falls(100, 80);
  const LevelSeries series = segment(told.history);
  CHECK(series.now == LevelNow::counted);
  CHECK(series.step == 1);
  REQUIRE(series.segments.size() == 2);
  CHECK(series.segments[0].begin == Segment::Begin::history);
  CHECK(series.segments[0].falls.size() == 37);
  CHECK(series.segments[1].begin == Segment::Begin::replaced);
  CHECK(series.segments[1].percent == 80);
  CHECK(series.segments[1].percent_sharp);
  CHECK(series.segments[1].start_impressions == 20.0 * 38);
}

TEST_CASE("a rise to less than full is a partly used one or a refill") {
  Told told;
  told.falls(20, 5);
  told.falls(70, 60);
  const LevelSeries series = segment(told.history);
  REQUIRE(series.segments.size() == 2);
  CHECK(series.segments[1].begin == Segment::Begin::raised);
  CHECK(series.rises.size() == 1);
}

TEST_CASE("a shaken cartridge is the same cartridge") {
  Told told;
  told.falls(20, 5);
  told.falls(8, 2);
  const LevelSeries series = segment(told.history);
  REQUIRE(series.segments.size() == 1);
  CHECK(series.segments[0].wobble == 3);
  CHECK(series.segments[0].percent == 2);
}

TEST_CASE("coarse levels are recognised, and one step up is a wobble unless it is to full") {
  Told told;
  told.falls(90, 50, 10);
  told.says(Amount{60});
  told.says(Amount{50});
  const LevelSeries coarse = segment(told.history);
  CHECK(coarse.step == 10);
  CHECK(coarse.segments.size() == 1);

  Told full;
  full.falls(100, 90, 10);
  full.falls(100, 70, 10);
  CHECK(segment(full.history).segments.size() == 2);
}

TEST_CASE("an unknown stretch does not cut a cartridge in two, and an unknown end is unknown") {
  Told told;
  told.falls(60, 50);
  told.says(frisket::model::Unknown{});
  told.falls(50, 45);
  CHECK(segment(told.history).segments.size() == 1);
  told.says(frisket::model::SomeLeft{});
  CHECK(segment(told.history).now == LevelNow::some_left);
  told.says(frisket::model::Unknown{});
  CHECK(segment(told.history).now == LevelNow::unknown);
}

TEST_CASE("levels without a capacity are taken relative to the largest seen") {
  SupplyHistory history;
  for (int i = 0; i < 5; ++i) {
    history.samples.push_back(
        {at("2026-11-02T08:00:00Z") + 1h * i, Amount{4000 - 400 * i}, frisket::model::Unknown{}, 100.0 * i, false});
  }
  const LevelSeries series = segment(history);
  REQUIRE(series.segments.size() == 1);
  CHECK(series.segments[0].start_percent == 100);
  CHECK(series.segments[0].percent == Approx(60));
}

TEST_CASE("a fall that nobody saw, or over several steps, is not sharp") {
  Told told;
  told.falls(60, 58);
  told.says(Amount{50});
  CHECK_FALSE(segment(told.history).segments[0].percent_sharp);
  told.says(Amount{49});
  CHECK(segment(told.history).segments[0].percent_sharp);
  told.history.samples.back().after_gap = true;
  CHECK_FALSE(segment(told.history).segments[0].percent_sharp);
}

TEST_CASE("nothing comes from nothing") {
  CHECK(segment({}).now == LevelNow::nothing);
  CHECK(segment({}).segments.empty());
  Told told;
  told.says(Amount{0});
  told.history.samples.back().capacity = frisket::model::Unknown{};
  CHECK(segment(told.history).segments.empty());
}
