#include "readings.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::at;
using readings::Copier;
using readings::counts_of;
using readings::missed;
using readings::times_of;

namespace {

using Times = std::vector<WallTime>;
using Counts = std::vector<std::uint32_t>;
using Changes = frisket::upkeep::Changes;

Changes operator+(Changes all, Changes more) {
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

}  // namespace

TEST_CASE("the first reading states everything, the count before the levels") {
  Recorder recorder;
  const Changes changes = recorder.take(Copier{}.at("2026-11-02T08:00:00.700Z"));
  const auto when = at("2026-11-02T08:00:00Z");
  CHECK(changes == Changes{{when, SerialStated{"QL7731"}},
                           {when, CountChange{52000, false}},
                           {when, SupplyStated{1, frisket::model::SupplyClass::supply_that_is_consumed,
                                               frisket::model::SupplyType::toner, "black", "Black toner QX-701A"}},
                           {when, LevelChange{1, Amount{80}, Amount{100}}}});
}

TEST_CASE("a device that stands still gives no change") {
  Recorder recorder;
  const Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  const auto same = copier.at("2026-11-02T08:00:30Z");
  std::size_t kept = 0;
  for (int poll = 0; poll < 2000; ++poll)
    kept += recorder.take({same.device, same.at + 30s * poll, same.reach, "", same.snapshot}).size();
  CHECK(kept == 0);
}

TEST_CASE("counts are kept at the first page after an idle time, and then every 15 minutes or 50 impressions") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  Changes kept;
  auto now = at("2026-11-02T08:00:30Z");
  const auto count = [&](std::uint32_t value, const char* when) {
    for (; now < at(when); now += 30s) kept = kept + recorder.take(copier.at(now));
    copier.count = value;
    kept = kept + recorder.take(copier.at(now));
    now += 30s;
  };
  count(52001, "2026-11-02T09:00:00Z");
  count(52004, "2026-11-02T09:01:00Z");
  count(52050, "2026-11-02T09:02:00Z");
  count(52051, "2026-11-02T09:03:00Z");  // the fiftieth
  count(52060, "2026-11-02T09:10:00Z");
  count(52060, "2026-11-02T09:18:00Z");  // nothing new, but 52060 was held back
  CHECK(kept == Changes{{at("2026-11-02T09:00:00Z"), CountChange{52001, false}},
                        {at("2026-11-02T09:03:00Z"), CountChange{52051, true}},
                        {at("2026-11-02T09:18:00Z"), CountChange{52060, true}}});
}

TEST_CASE("a count goes with how many of them were in colour, where the device tells") {
  Recorder recorder;
  Copier copier;
  const auto kept = [&](const std::string& when) {
    const auto changes = recorder.take(copier.at(when));
    const auto* count = changes.empty() ? nullptr : std::get_if<CountChange>(&changes.back().what);
    REQUIRE(count != nullptr);
    return *count;
  };
  recorder.take(copier.at("2026-03-02T08:00:00Z"));
  copier.count += 10;
  CHECK_FALSE(kept("2026-03-02T08:30:00Z").colour);
  copier.count += 10;
  copier.colour_count = 4000;
  CHECK(kept("2026-03-02T09:00:00Z").colour == 4000U);
  copier.count += 1;
  copier.colour_count = 4001;
  CHECK(recorder.take(copier.at("2026-03-02T09:01:00Z")).empty());
  const auto held = recorder.flush().at("herbarium-copier");
  REQUIRE(held.size() == 1);
  CHECK(std::get<CountChange>(held[0].what).colour == 4001U);
}

TEST_CASE("a counter that falls is kept at once") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  copier.count = 3;
  CHECK(counts_of(recorder.take(copier.at("2026-11-02T08:01:00Z"))) == Counts{3});
}

TEST_CASE("a level that falls brings the count of its instant along") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  copier.count = 52002;
  CHECK(recorder.take(copier.at("2026-11-02T08:05:00Z")).empty());
  copier.levels[1] = 78;
  const auto when = at("2026-11-02T08:06:00Z");
  CHECK(recorder.take(copier.at(when)) ==
        Changes{{when, CountChange{52002, true}}, {when, LevelChange{1, Amount{78}, Amount{100}}}});
}

TEST_CASE("a gauge that trembles is kept every 15 minutes at most") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  std::size_t kept = 0;
  for (int poll = 1; poll <= 120; ++poll) {  // an hour
    copier.levels[1] = 80 + poll % 2;
    kept += recorder.take(copier.at(at("2026-11-02T08:00:00Z") + 30s * poll)).size();
  }
  CHECK(kept <= 8);  // four levels, and the counts beside them
  CHECK(kept > 0);
}

TEST_CASE("a fine gauge is kept in steps of half a percent, and where it reaches nothing") {
  Recorder recorder;
  Copier copier;
  copier.capacity = 30000;
  copier.levels[1] = 20000;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  copier.levels[1] = 19860;
  CHECK(recorder.take(copier.at("2026-11-02T08:10:00Z")).empty());
  copier.levels[1] = 19850;
  CHECK(recorder.take(copier.at("2026-11-02T08:20:00Z")).size() == 2);
  copier.levels[1] = 19000;
  CHECK(recorder.take(copier.at("2026-11-02T08:21:00Z")).size() == 2);
  copier.levels[1] = 0;
  CHECK(recorder.take(copier.at("2026-11-02T08:22:00Z")).size() == 2);
}

TEST_CASE("a device that is silent for 15 minutes is lost since it was last heard, with the count it had") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  copier.count = 52005;
  recorder.take(copier.at("2026-11-02T08:05:00Z"));
  for (const auto* when : {"2026-11-02T08:09:00Z", "2026-11-02T08:12:00Z", "2026-11-02T08:15:00Z",
                           "2026-11-02T08:18:00Z", "2026-11-02T08:19:59Z"})
    CHECK(recorder.take(missed(when)).empty());
  const auto last = at("2026-11-02T08:05:00Z");
  CHECK(recorder.take(missed("2026-11-02T08:20:00Z")) == Changes{{last, CountChange{52005, true}}, {last, Lost{}}});
  CHECK(recorder.take(missed("2026-11-02T08:22:00Z")).empty());
  const Changes back = recorder.take(copier.at("2026-11-02T11:00:00Z"));
  CHECK(back ==
        Changes{{at("2026-11-02T11:00:00Z"), Heard{}}, {at("2026-11-02T11:00:00Z"), CountChange{52005, false}}});
}

TEST_CASE("a poll or two that are missed are no gap") {
  Recorder recorder;
  const Copier copier;
  const auto first = copier.at("2026-11-02T08:00:00Z");
  recorder.take(first);
  recorder.take(missed("2026-11-02T08:05:00Z"));
  CHECK(recorder.take({first.device, at("2026-11-02T08:10:00Z"), first.reach, "", first.snapshot}).empty());
}

TEST_CASE("a stop of the daemon is a gap from when it last watched to the device's first reading") {
  Recorder recorder(at("2026-11-02T08:00:00Z"));
  const Changes changes = recorder.take(Copier{}.at("2026-11-02T10:00:07Z"));
  CHECK(times_of<Lost>(changes) == Times{at("2026-11-02T08:00:00Z")});
  CHECK(times_of<Heard>(changes) == Times{at("2026-11-02T10:00:07Z")});
  CHECK(counts_of(changes) == Counts{52000});
  CHECK(times_of<SupplyStated>(changes).size() == 1);
}

TEST_CASE("a restart of a minute is no gap, but ends one that there may have been") {
  Recorder recorder(at("2026-11-02T08:00:00Z"));
  const Changes changes = recorder.take(Copier{}.at("2026-11-02T08:01:00Z"));
  CHECK(times_of<Lost>(changes).empty());
  CHECK(times_of<Heard>(changes).size() == 1);
}

TEST_CASE("a device that is silent at the start is lost since the daemon last watched") {
  Recorder recorder(at("2026-11-02T08:00:00Z"));
  const Changes silent = recorder.take(missed("2026-11-02T10:00:00Z"));
  CHECK(silent == Changes{{at("2026-11-02T08:00:00Z"), Lost{}}});
  const Changes back = recorder.take(Copier{}.at("2026-11-02T12:00:00Z"));
  CHECK(times_of<Lost>(back).empty());
  CHECK(times_of<Heard>(back) == Times{at("2026-11-02T12:00:00Z")});
}

TEST_CASE("a device that nobody asked for a while was not observed meanwhile") {
  Recorder recorder;
  const Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  const Changes changes = recorder.take(copier.at("2026-11-02T08:15:00Z"));
  CHECK(times_of<Lost>(changes) == Times{at("2026-11-02T08:00:00Z")});
  CHECK(times_of<Heard>(changes) == Times{at("2026-11-02T08:15:00Z")});
}

TEST_CASE("a device that is asked once an hour is lost when three hours pass") {
  Recorder recorder;
  const Copier copier;
  auto now = at("2026-11-02T00:00:00Z");
  for (int hour = 0; hour < 5; ++hour, now += 1h) recorder.take(copier.at(now));
  CHECK(recorder.take(copier.at(now)).empty());
  CHECK(times_of<Lost>(recorder.take(copier.at(now + 3h))) == Times{now});
}

TEST_CASE("another serial number is told, and a missing one is not another") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  copier.serial.clear();
  CHECK(recorder.take(copier.at("2026-11-02T08:01:00Z")).empty());
  copier.serial = "QL9004";
  CHECK(recorder.take(copier.at("2026-11-02T08:02:00Z")) ==
        Changes{{at("2026-11-02T08:02:00Z"), SerialStated{"QL9004"}}});
}

TEST_CASE("everything is restated after four weeks") {
  Recorder recorder;
  const Copier copier;
  const auto first = copier.at("2026-11-02T08:00:00Z");
  const Changes stated = recorder.take(first);
  const auto later = [&](WallTime when) {
    return recorder.take({first.device, when, first.reach, "", first.snapshot});
  };
  std::size_t meanwhile = 0;
  for (auto now = first.at + 10min; now < at("2026-11-30T07:59:59Z"); now += 10min) meanwhile += later(now).size();
  CHECK(meanwhile == 0);
  CHECK(later(at("2026-11-30T08:00:00Z")).size() == stated.size());
  CHECK(later(at("2026-11-30T08:00:30Z")).empty());
}

TEST_CASE("what is held back comes out before a stop, once") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  CHECK(recorder.flush().empty());
  copier.count = 52005;
  recorder.take(copier.at("2026-11-02T08:05:00Z"));
  const auto flushed = recorder.flush();
  REQUIRE(flushed.size() == 1);
  CHECK(flushed.at("herbarium-copier") == Changes{{at("2026-11-02T08:05:00Z"), CountChange{52005, true}}});
  CHECK(recorder.flush().empty());
}

TEST_CASE("a clock that was set back is not followed") {
  Recorder recorder;
  Copier copier;
  recorder.take(copier.at("2026-11-02T08:00:00Z"));
  copier.count = 60000;
  CHECK(recorder.take(copier.at("2026-11-02T07:00:00Z")).empty());
  CHECK(counts_of(recorder.take(copier.at("2026-11-02T08:00:30Z"))) == Counts{60000});
}
