#include "daemon/upkeep/weeks.h"

#include "moments.h"
#include "readings.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::at;
using readings::counts_of;

namespace {

using Changes = frisket::upkeep::Changes;
using Counts = std::vector<std::uint32_t>;

const WallTime kMonday = at("2026-11-02T08:00:00Z");

Change count(std::chrono::minutes after, std::uint32_t value, bool thinned = false) {
  return {kMonday + after, CountChange{value, thinned}};
}
Change level(std::chrono::minutes after, std::int32_t units) {
  return {kMonday + after, LevelChange{1, Amount{units}, Amount{100}}};
}

}  // namespace

TEST_CASE("a week has seven days, and an instant out of bounds counts as in the first or the last") {
  const auto week = week_of(kMonday);
  CHECK(start_of_week(week) <= kMonday);
  CHECK(kMonday < start_of_week(week + 1));
  CHECK(start_of_week(week + 1) - start_of_week(week) == 7 * 24h);
  CHECK(week_of(start_of_week(week)) == week);
  CHECK(week_of(start_of_week(week) - 1ms) == week - 1);
  CHECK(week_of(WallTime{}) == kFirstWeek);
  CHECK(week_of(WallTime::max()) == kLastWeek);
}

TEST_CASE("new changes go to their place in time, those of one instant in the order given") {
  Changes week{count(0min, 1), count(20min, 3)};
  merge_into(week, {count(10min, 2), {kMonday + 20min, Lost{}}});
  CHECK(week == Changes{count(0min, 1), count(10min, 2), count(20min, 3), {kMonday + 20min, Lost{}}});
}

TEST_CASE("what is only restated within the week is left out, but for counts") {
  Changes week{level(0min, 80), {kMonday, SerialStated{"QL7731"}}, count(0min, 5)};
  const Changes restated{{kMonday + 5min, Heard{}},
                         level(5min, 80),
                         {kMonday + 5min, SerialStated{"QL7731"}},
                         count(5min, 5),
                         {kMonday + 6min, Heard{}}};
  merge_into(week, restated);
  CHECK(week == Changes{level(0min, 80),
                        {kMonday, SerialStated{"QL7731"}},
                        count(0min, 5),
                        {kMonday + 5min, Heard{}},
                        count(5min, 5)});
  merge_into(week, {level(7min, 79), level(8min, 80)});
  CHECK(week.size() == 7);  // back to what it was is a change
}

TEST_CASE("thinned counts are an hour apart while something is printed, and marked") {
  Changes week;
  for (int quarter = 0; quarter <= 12; ++quarter)
    week.push_back(count(15min * quarter, static_cast<std::uint32_t>(100 + quarter)));
  thin(week);
  CHECK(week == Changes{count(0min, 100), count(60min, 104, true), count(120min, 108, true), count(180min, 112, true)});
}

TEST_CASE("thinning leaves the first page after an idle time at its instant") {
  Changes week{count(0min, 100), count(15min, 101),       count(30min, 102),
               count(14h, 103),  count(14h + 15min, 104), count(14h + 30min, 105)};
  thin(week);
  CHECK(week == Changes{count(0min, 100), count(30min, 102, true), count(14h, 103), count(14h + 30min, 105, true)});
}

TEST_CASE("thinning leaves the counts beside other changes") {
  Changes week{count(0min, 100),  count(10min, 101), level(10min, 79),
               count(20min, 102), count(30min, 103), {kMonday + 30min, Lost{}}};
  thin(week);
  CHECK(counts_of(week) == Counts{100, 101, 103});
}

TEST_CASE("thinning drops a level that went back within six hours, and no other") {
  Changes week{level(0min, 80), level(60min, 79), level(120min, 80), level(600min, 79), level(17h, 80)};
  thin(week);
  CHECK(week == Changes{level(0min, 80), level(600min, 79), level(17h, 80)});
}

TEST_CASE("thinning twice changes nothing more") {
  Changes week;
  for (int minute = 0; minute < 2000; minute += 7) week.push_back(count(std::chrono::minutes(minute), 1u + minute));
  thin(week);
  const Changes once = week;
  thin(week);
  CHECK(counts_of(week) == counts_of(once));
}
