#include "daemon/upkeep/told_history.h"

#include "daemon/upkeep/weeks.h"
#include "readings.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::at;
using moments::calendar;
using readings::Copier;
using readings::missed;

namespace {

using Changes = frisket::upkeep::Changes;

// What the recorder keeps of a course of readings.
struct Course {
  Recorder recorder;
  Copier copier;
  std::map<std::int64_t, Changes> weeks;
  void take(const frisket::model::DeviceReading& reading) {
    for (auto& change : recorder.take(reading)) merge_into(weeks[week_of(change.at)], {change});
  }
  Changes changes() const {
    Changes all;
    for (const auto& [week, changes] : weeks) all.insert(all.end(), changes.begin(), changes.end());
    return all;
  }
  void read(const std::string& when) { take(copier.at(when)); }
};

}  // namespace

TEST_CASE("no changes are no history") {
  const ToldHistory told = told_history({});
  CHECK(told.history.counter.samples.empty());
  CHECK(told.supplies.empty());
}

TEST_CASE("readings come back as counter, levels and gaps") {
  Course course;
  course.read("2026-11-02T08:00:00Z");
  course.copier.count = 52001;
  course.read("2026-11-02T08:10:00Z");
  course.take(missed("2026-11-02T08:45:00Z"));
  course.copier.count = 52090;
  course.copier.levels[1] = 79;
  course.read("2026-11-02T12:00:00Z");
  course.copier.count = 52095;
  course.copier.levels[1] = 78;
  course.read("2026-11-02T12:20:00Z");

  const ToldHistory told = told_history(course.changes());
  const auto& counter = told.history.counter;
  REQUIRE(counter.samples.size() == 4);
  CHECK(counter.samples[1].at == at("2026-11-02T08:10:00Z"));
  CHECK(counter.samples[1].count == 52001);
  CHECK(counter.unobserved == std::vector<Span>{{at("2026-11-02T08:10:00Z"), at("2026-11-02T12:00:00Z")}});
  CHECK(counter.board_changes.empty());
  REQUIRE(told.history.supplies.size() == 1);
  const auto& levels = told.history.supplies[0].samples;
  REQUIRE(levels.size() == 3);
  CHECK(levels[0].level == frisket::model::Level(Amount{80}));
  CHECK_FALSE(levels[0].after_gap);
  CHECK(levels[1].after_gap);
  CHECK_FALSE(levels[2].after_gap);
  CHECK(told.supplies[0].part == "QX-701A");
  CHECK(told.supplies[0].what.colorant == "black");
  CHECK(told.serial == "QL7731");
}

TEST_CASE("a device that is lost at the end is unobserved from then on") {
  Course course;
  course.read("2026-11-02T08:00:00Z");
  course.take(missed("2026-11-02T10:00:00Z"));
  const auto counter = told_history(course.changes()).history.counter;
  CHECK(last_seen(counter, at("2026-12-24T00:00:00Z")) == at("2026-11-02T08:00:00Z"));
}

TEST_CASE("a new serial number is a change of the board, a restated one is not") {
  Course course;
  course.read("2026-11-02T08:00:00Z");
  course.read("2026-12-02T08:00:00Z");  // restated
  course.copier.serial = "QL9004";
  course.read("2026-12-03T08:00:00Z");
  CHECK(told_history(course.changes()).history.counter.board_changes ==
        std::vector<WallTime>{at("2026-12-03T08:00:00Z")});
}

TEST_CASE("a restated level is no sample, but says that the supply is still there") {
  Course course;
  course.read("2026-11-02T08:00:00Z");
  course.take({"herbarium-copier", at("2026-12-10T08:00:00Z"), frisket::model::Reach::answered, "",
               course.copier.at("2026-11-02T08:00:00Z").snapshot});
  const auto told = told_history(course.changes());
  CHECK(told.history.supplies[0].samples.size() == 1);
  CHECK(told.supplies[0].stated_at == at("2026-12-10T08:00:00Z"));
}

TEST_CASE("a supply of another colour begins anew, one of another part number goes on") {
  Course course;
  course.read("2026-11-02T08:00:00Z");
  course.copier.descriptions[1] = "Black toner QX-701X";
  course.copier.levels[1] = 100;
  course.read("2026-11-03T08:00:00Z");
  CHECK(told_history(course.changes()).history.supplies[0].samples.size() == 2);
  CHECK(told_history(course.changes()).history.supplies[0].part == "QX-701X");
  course.copier.colorant = "cyan";
  course.read("2026-11-04T08:00:00Z");
  const auto told = told_history(course.changes());
  CHECK(told.history.supplies[0].samples.size() == 1);
  CHECK(told.supplies[0].what.colorant == "cyan");
}

// The recorder's grain and the thinning cost no page: over two months of office days, each day's sum is what was
// printed.
TEST_CASE("what was printed on each day is known to the page, also when the weeks are thinned") {
  Course course;
  const auto site = calendar("UTC");
  const auto begin = at("2026-11-02T00:00:00Z");
  std::vector<double> truth(28);
  for (int minute = 0; minute < 28 * 24 * 60; minute += 3) {
    const int day = minute / (24 * 60);
    const int hour = minute / 60 % 24;
    if (day % 7 < 5 && hour >= 8 && hour < 18 && minute % 5 == 0) {
      const auto pages = static_cast<std::uint32_t>(1 + minute / 15 % 9);
      course.copier.count += pages;
      truth[static_cast<std::size_t>(day)] += pages;
      course.copier.levels[1] = 80 - (static_cast<int>(course.copier.count) - 52000) / 250;
    }
    course.take(course.copier.at(begin + std::chrono::minutes(minute)));
  }
  const auto days_of = [&](const Changes& changes) {
    const auto use = unwrap(told_history(changes).history.counter, begin + 28 * 24h);
    std::vector<double> days;
    for (const auto& day : by_day(use, site)) {
      days.push_back(day.impressions);
      CHECK_FALSE(day.estimated);
    }
    days.resize(28);
    return days;
  };
  CHECK(days_of(course.changes()) == truth);
  const auto before = course.changes().size();
  for (auto& [week, changes] : course.weeks) thin(changes);
  const Changes thinned = course.changes();
  CHECK(days_of(thinned) == truth);
  CHECK(thinned.size() < before / 2);
  CHECK(before < 28 * 60);  // changes a day
}
