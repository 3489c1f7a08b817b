// The numbers are worked out by hand from EEMUA 191's tables as RFC 8632 quotes them (Tables 4 and 5), and, from
// memory, from ANSI/ISA-18.2: 10 in 10 minutes begin a flood, fewer than 5 end it, stale is what is older than a day.
#include "daemon/incidents/alarm_load.h"

#include <catch2/catch.hpp>

#include "fixtures.h"

namespace frisket::incidents {
namespace {

using testing::kMorning;
using namespace std::chrono_literals;

std::vector<WallTime> at_minutes(std::initializer_list<int> minutes) {
  std::vector<WallTime> times;
  for (const int minute : minutes) times.push_back(kMorning + minute * 1min);
  return times;
}

Incident incident(std::string id, std::string device, std::string kind, std::string site = "glasshouse") {
  Incident incident;
  incident.id = std::move(id);
  incident.device = std::move(device);
  incident.kind = std::move(kind);
  incident.site = std::move(site);
  return incident;
}

Transition raised(Incident incident, WallTime at) {
  incident.raised_at = at;
  incident.changes.push_back({at, What::raised, incident.severity, incident.kind, ""});
  return {What::raised, at, std::move(incident)};
}

Transition cleared(Incident incident, WallTime at) {
  incident.state = Incident::State::cleared;
  incident.cleared_at = at;
  return {What::cleared, at, std::move(incident)};
}

}  // namespace

TEST_CASE("a rate has EEMUA's word, and one between two of its points the worse (RFC 8632 Table 4)") {
  // A day has 1440 minutes: 144 is 1 in 10, 288 is 1 in 5, 720 is 1 in 2, 1440 is 1 in a minute.
  CHECK(rate_verdict(0, 24h) == RateVerdict::very_likely_acceptable);
  CHECK(rate_verdict(143, 24h) == RateVerdict::very_likely_acceptable);
  CHECK(rate_verdict(144, 24h) == RateVerdict::manageable);
  CHECK(rate_verdict(288, 24h) == RateVerdict::manageable);
  CHECK(rate_verdict(289, 24h) == RateVerdict::likely_over_demanding);
  CHECK(rate_verdict(720, 24h) == RateVerdict::likely_over_demanding);
  CHECK(rate_verdict(1440, 24h) == RateVerdict::likely_over_demanding);
  CHECK(rate_verdict(1441, 24h) == RateVerdict::very_likely_unacceptable);
}

TEST_CASE("a count after an upset has EEMUA's word, and none from 10 to 19 (RFC 8632 Table 5)") {
  CHECK(peak_verdict(9) == PeakVerdict::normally_fine);
  CHECK(peak_verdict(10) == PeakVerdict::no_verdict);
  CHECK(peak_verdict(19) == PeakVerdict::no_verdict);
  CHECK(peak_verdict(20) == PeakVerdict::difficult_to_handle);
  CHECK(peak_verdict(100) == PeakVerdict::difficult_to_handle);
  CHECK(peak_verdict(101) == PeakVerdict::definitely_excessive);
}

TEST_CASE("a peak is the most in any ten minutes, wherever these begin") {
  CHECK(peak_of({}) == 0);
  // 4, 9, 10, 12 are within ten minutes, and so are 9, 10, 12, 14; 4 and 14 are not.
  CHECK(peak_of(at_minutes({0, 4, 9, 10, 12, 14})) == 4);
  CHECK(peak_of(at_minutes({0, 10, 20, 30})) == 1);
}

TEST_CASE("a flood begins with the tenth raising in ten minutes and ends when fewer than five are left in them") {
  const auto nine = at_minutes({0, 1, 2, 3, 4, 5, 6, 7, 8});
  CHECK(floods_of(nine, kMorning + 1h).empty());
  const auto ten = at_minutes({0, 1, 2, 3, 4, 5, 6, 7, 8, 9});
  CHECK(floods_of(ten, kMorning + 14min) == std::vector<Flood>{{kMorning + 9min, std::nullopt, 10}});
  // At minute 15 the one of minute 5 leaves, and 6, 7, 8, 9 are left.
  CHECK(floods_of(ten, kMorning + 15min) == std::vector<Flood>{{kMorning + 9min, kMorning + 15min, 10}});
  // One more at minute 14 makes 6, 7, 8, 9, 14: at minute 16 four of them are left.
  const auto eleven = at_minutes({0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 14});
  CHECK(floods_of(eleven, kMorning + 1h) == std::vector<Flood>{{kMorning + 9min, kMorning + 16min, 11}});
}

TEST_CASE("what comes at the very end of a flood is after it, and ten more are a second one") {
  auto times = at_minutes({0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 15, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30});
  const std::vector<Flood> expected = {{kMorning + 9min, kMorning + 15min, 10}, {kMorning + 30min, std::nullopt, 10}};
  CHECK(floods_of(times, kMorning + 31min) == expected);
}

TEST_CASE("the load is counted for the fleet and for each site, over an hour, a day and a week") {
  AlarmLoad load;
  // In the last hour 3 within ten minutes; 21 more earlier in the day, one an hour; 1 of the other site two days ago.
  load.note(raised(incident("a", "fern-laser", "media-jam", "alpine-house"), kMorning - 48h));
  for (int i = 2; i < 23; ++i)
    load.note(raised(incident("b" + std::to_string(i), "herbarium-copier", "toner-low"), kMorning - 25h + i * 1h));
  for (const auto minutes : {9min, 5min, 1min})
    load.note(
        raised(incident("c" + std::to_string(minutes.count()), "palm-inkjet", "media-empty"), kMorning - minutes));
  const auto figures = load.figures(kMorning);
  CHECK(figures.fleet.hour.raised == 3);
  CHECK(figures.fleet.hour.per_hour == Approx(3.0));
  CHECK(figures.fleet.hour.per_ten_minutes == Approx(0.5));
  CHECK(figures.fleet.hour.peak == 3);
  CHECK(figures.fleet.hour.rate == RateVerdict::very_likely_acceptable);  // 3 in 60 minutes: 1 in 20
  CHECK(figures.fleet.day.raised == 24);
  CHECK(figures.fleet.day.per_hour == Approx(1.0));
  CHECK(figures.fleet.week.raised == 25);
  CHECK(figures.fleet.week.per_hour == Approx(25.0 / 168));
  REQUIRE(figures.sites.size() == 2);
  CHECK(figures.sites[0].site == "alpine-house");
  CHECK(figures.sites[0].day.raised == 0);
  CHECK(figures.sites[0].week.raised == 1);
  CHECK(figures.sites[1].day.raised == 24);
  CHECK_FALSE(figures.fleet.in_flood);
}

TEST_CASE("what is a week old is counted no more, and what lies ahead of now not yet") {
  AlarmLoad load;
  load.note(raised(incident("a", "fern-laser", "media-jam"), kMorning));
  CHECK(load.figures(kMorning - 1ms).fleet.week.raised == 0);
  CHECK(load.figures(kMorning).fleet.hour.raised == 1);
  CHECK(load.figures(kMorning + 1h).fleet.hour.raised == 0);
  CHECK(load.figures(kMorning + 168h - 1ms).fleet.week.raised == 1);
  CHECK(load.figures(kMorning + 168h).fleet.week.raised == 0);
}

TEST_CASE("the ten noisiest pairs of device and kind are named with their share of the week") {
  AlarmLoad load;
  for (int i = 0; i < 8; ++i) load.note(raised(incident("a" + std::to_string(i), "fern-laser", "media-jam"), kMorning));
  for (int i = 10; i < 21; ++i)
    load.note(raised(incident("b" + std::to_string(i), "device-" + std::to_string(i), "toner-low"), kMorning));
  const auto figures = load.figures(kMorning + 1min);
  REQUIRE(figures.noisiest.size() == 10);
  CHECK(figures.noisiest.front() == NoisyPair{"fern-laser", "media-jam", 8});
  CHECK(figures.noisiest.back() == NoisyPair{"device-18", "toner-low", 1});
  CHECK(figures.noisiest_share == Approx(17.0 / 19));
  CHECK(figures.fleet.in_flood);  // 19 at once
  REQUIRE(figures.floods.size() == 1);
  CHECK(figures.floods.front().raised == 19);
}

TEST_CASE("stale is what has been raised for more than a day, unless the operator has put it aside") {
  AlarmLoad load;
  const auto low = raised(incident("a", "fern-laser", "toner-low"), kMorning);
  load.note(low);
  CHECK(load.figures(kMorning + 24h).stale == 0);
  CHECK(load.figures(kMorning + 24h + 1ms).stale == 1);
  auto shelved = low.incident;
  shelved.operator_state = OperatorState::shelved;
  load.note({What::operator_action, kMorning + 25h, shelved});
  CHECK(load.figures(kMorning + 26h).stale == 0);
  load.note({What::operator_action, kMorning + 27h, low.incident});
  CHECK(load.figures(kMorning + 27h).stale == 1);
  load.note(cleared(low.incident, kMorning + 28h));
  CHECK(load.figures(kMorning + 29h).stale == 0);
}

TEST_CASE("what comes back is counted again, and is stale from its last raising only") {
  AlarmLoad load;
  auto jam = raised(incident("a", "fern-laser", "media-jam"), kMorning).incident;
  load.note({What::raised, kMorning, jam});
  load.note(cleared(jam, kMorning + 1h));
  load.note(raised(jam, kMorning + 2h));
  CHECK(load.figures(kMorning + 3h).fleet.day.raised == 2);
  CHECK(load.figures(kMorning + 25h).stale == 0);
  CHECK(load.figures(kMorning + 27h).stale == 1);
}

TEST_CASE("what chatters now is counted, until it is quiet") {
  AlarmLoad load;
  auto bin = incident("a", "fern-laser", "output-area-full");
  bin.chattering = true;
  load.note(raised(bin, kMorning));
  CHECK(load.figures(kMorning).chattering == 1);
  bin.chattering = false;
  load.note(cleared(bin, kMorning + 5min));
  CHECK(load.figures(kMorning + 5min).chattering == 0);
}

TEST_CASE("planned work is no load") {
  AlarmLoad load;
  auto jam = incident("a", "fern-laser", "media-jam");
  jam.planned = true;
  load.note(raised(jam, kMorning));
  CHECK(load.figures(kMorning).fleet.hour.raised == 0);
}

TEST_CASE("after a restart the figures are those of before") {
  AlarmLoad before;
  auto low = raised(incident("a", "fern-laser", "toner-low"), kMorning);
  before.note(low);
  auto jam = raised(incident("b", "palm-inkjet", "media-jam"), kMorning + 1h).incident;
  before.note({What::raised, kMorning + 1h, jam});
  before.note(cleared(jam, kMorning + 2h));
  jam = raised(jam, kMorning + 2h + 5min).incident;
  before.note({What::raised, kMorning + 2h + 5min, jam});

  AlarmLoad after;
  after.restore({&jam, &low.incident});
  const auto now = kMorning + 25h;
  const auto expected = before.figures(now);
  const auto found = after.figures(now);
  CHECK(expected.fleet.week.raised == 3);
  CHECK(found.fleet == expected.fleet);
  CHECK(found.sites == expected.sites);
  CHECK(found.noisiest == expected.noisiest);
  CHECK(found.stale == 1);
  CHECK(expected.stale == 1);
}

TEST_CASE("of too many raisings the oldest are forgotten, and the figures say so") {
  AlarmLoad load;
  const auto jam = incident("a", "fern-laser", "media-jam");
  for (std::size_t i = 0; i < kRaisingsKept; ++i) load.note({What::raised, kMorning + i * 1s, jam});
  CHECK_FALSE(load.figures(kMorning + 3h).forgotten_before);
  load.note({What::raised, kMorning + kRaisingsKept * 1s, jam});
  const auto figures = load.figures(kMorning + 3h);
  CHECK(figures.fleet.week.raised == kRaisingsKept);
  CHECK(figures.forgotten_before == kMorning);
}

}  // namespace frisket::incidents
