#include "daemon/upkeep/series.h"

#include <catch2/catch.hpp>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::at;
using moments::calendar;

namespace {

using Changes = frisket::upkeep::Changes;

const SupplyStated kToner{1, frisket::model::SupplyClass::supply_that_is_consumed, frisket::model::SupplyType::toner,
                          "black", "Black toner QX-701A"};

Changes week() {
  Changes changes{{at("2026-03-02T00:00:00Z"), kToner},
                  {at("2026-03-02T00:00:00Z"), CountChange{1000, false}},
                  {at("2026-03-02T00:00:00Z"), LevelChange{1, Amount{50}, Amount{100}}}};
  for (int day = 0; day < 7; ++day)
    changes.push_back(
        {at("2026-03-02T12:00:00Z") + 24h * day, CountChange{1000u + 100u * (1u + static_cast<unsigned>(day)), false}});
  changes.push_back({at("2026-03-04T12:00:00Z"), LevelChange{1, Amount{40}, Amount{100}}});
  std::ranges::stable_sort(changes, {}, &Change::at);
  return changes;
}

std::vector<double> values(const Series& line) {
  std::vector<double> found;
  for (const auto& point : line.points) found.push_back(point.value.value_or(-1));
  return found;
}

}  // namespace

TEST_CASE("by the day a line says what was printed on each day, and the level at its end") {
  const auto lines =
      past_lines(week(), {at("2026-03-02T00:00:00Z"), at("2026-03-09T00:00:00Z")}, Resolution::day, calendar("UTC"));
  REQUIRE(lines);
  REQUIRE(lines->series.size() == 2);
  CHECK(values(lines->series[0]) == std::vector<double>(7, 100));
  CHECK(values(lines->series[1]) == std::vector<double>{50, 50, 40, 40, 40, 40, 40});
  CHECK(lines->series[1].supply == 1);
  CHECK(lines->series[1].what.description == "Black toner QX-701A");
  CHECK(lines->series[0].points.front().at == at("2026-03-03T00:00:00Z"));
  CHECK(lines->series[0].points.back().at == at("2026-03-09T00:00:00Z"));
}

TEST_CASE("days are the site's: one of 23 hours where the clock goes forward") {
  const auto lines = past_lines({}, {at("2026-03-28T23:00:00Z"), at("2026-03-31T22:00:00Z")}, Resolution::day,
                                calendar("Europe/Berlin"));
  REQUIRE(lines);
  CHECK(lines->series.empty());
  auto changes = week();
  for (auto& change : changes) change.at += 24h * 26;
  const auto berlin = past_lines(changes, {at("2026-03-28T23:00:00Z"), at("2026-03-31T22:00:00Z")}, Resolution::day,
                                 calendar("Europe/Berlin"));
  REQUIRE(berlin);
  const auto& points = berlin->series[0].points;
  REQUIRE(points.size() == 3);
  CHECK(points[0].at == at("2026-03-29T22:00:00Z"));  // the IANA time zone data: 29 March 2026 has 23 hours there
  CHECK(points[2].at == at("2026-03-31T22:00:00Z"));
}

TEST_CASE("by the week the first and the last step are cut to what was asked for") {
  const auto lines =
      past_lines(week(), {at("2026-03-04T00:00:00Z"), at("2026-03-10T00:00:00Z")}, Resolution::week, calendar("UTC"));
  REQUIRE(lines);
  const auto& points = lines->series[0].points;
  REQUIRE(points.size() == 2);
  CHECK(points[0].at == at("2026-03-09T00:00:00Z"));  // a Monday
  CHECK(points[0].value == 500);                      // of Wednesday to Sunday
  CHECK(points[1].at == at("2026-03-10T00:00:00Z"));
}

TEST_CASE("raw points are the instants that are kept") {
  const auto lines =
      past_lines(week(), {at("2026-03-03T00:00:00Z"), at("2026-03-05T00:00:00Z")}, Resolution::raw, calendar("UTC"));
  REQUIRE(lines);
  CHECK(values(lines->series[0]) == std::vector<double>{100, 100});
  CHECK(lines->series[1].points.size() == 1);
  CHECK(lines->series[1].points[0].value == 40);
}

TEST_CASE("while nobody looked no level is known") {
  auto changes = week();
  changes.push_back({at("2026-03-08T13:00:00Z"), Lost{}});
  const auto lines =
      past_lines(changes, {at("2026-03-07T00:00:00Z"), at("2026-03-10T00:00:00Z")}, Resolution::day, calendar("UTC"));
  REQUIRE(lines);
  CHECK(values(lines->series[0]) == std::vector<double>{100, 100, -1});  // the 8th is known until 13 o'clock
  CHECK(values(lines->series[1]) == std::vector<double>{40, -1, -1});
  REQUIRE(lines->unobserved.size() == 1);
  CHECK(lines->unobserved[0] == Span{at("2026-03-08T13:00:00Z"), at("2026-03-10T00:00:00Z")});
}

TEST_CASE("more points than anybody looks at are refused") {
  const Span years{at("2024-01-01T00:00:00Z"), at("2026-03-01T00:00:00Z")};
  CHECK_FALSE(past_lines(week(), years, Resolution::hour, calendar("UTC")));
  CHECK(past_lines(week(), years, Resolution::day, calendar("UTC")));
}
