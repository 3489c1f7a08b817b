#include "daemon/upkeep/reliability.h"

#include <cmath>

#include "facts.h"
#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;

namespace {

const Span kWeek{at("2026-11-02T00:00:00Z"), at("2026-11-09T00:00:00Z")};

WallTime hour(int hours) { return kWeek.from + std::chrono::hours(hours); }

}  // namespace

TEST_CASE("Poisson limits agree with Garwood's table to its last digit") {
  for (const auto& row : facts::rows_of("garwood.csv")) {
    const auto events = std::stoll(row.at(0));
    INFO("k = " << events);
    const double confidences[] = {0.90, 0.95, 0.99};
    for (std::size_t i = 0; i < 3; ++i) {
      const Limits limits = garwood(events, confidences[i]);
      CHECK(std::abs(limits.low - std::stod(row.at(1 + 2 * i))) <= 0.5001e-4);
      CHECK(std::abs(limits.high - std::stod(row.at(2 + 2 * i))) <= 0.5001e-4);
    }
  }
}

TEST_CASE("three jams in 20000 sheets are 1.5 per 10,000, from 0.31 to 4.38") {
  const auto jams = rate(3, 20000);
  REQUIRE(jams);
  CHECK(jams->value == Approx(1.5));
  CHECK(jams->limits.low == Approx(0.3094).margin(1e-4));
  CHECK(jams->limits.high == Approx(4.3836).margin(1e-4));
}

TEST_CASE("there is no rate without sheets") {
  CHECK_FALSE(rate(0, 0));
  CHECK_FALSE(rate(3, -1));
  CHECK_FALSE(rate(3, std::nan("")));
}

TEST_CASE("the comparison of two rates agrees with R's poisson.test to ten digits") {
  for (const auto& row : facts::rows_of("poisson-test.csv")) {
    INFO(row.at(0) << " in " << row.at(1) << ", " << row.at(2) << " in " << row.at(3));
    const double p =
        compare_rates(std::stoll(row.at(0)), std::stod(row.at(1)), std::stoll(row.at(2)), std::stod(row.at(3)));
    CHECK(p == Approx(std::stod(row.at(4))).epsilon(1e-10));
  }
}

TEST_CASE("nothing happened anywhere: no difference is claimed") {
  CHECK(compare_rates(0, 100, 0, 100) == 1);
  CHECK(compare_rates(3, 0, 5, 100) == 1);
}

TEST_CASE("Holm's adjustment agrees with R's p.adjust") {
  // p.adjust(c(0.01, 0.04, 0.03, 0.005, 0.2), "holm") in R 4.2.2
  const std::vector<double> p{0.01, 0.04, 0.03, 0.005, 0.2};
  const std::vector<double> expected{0.04, 0.09, 0.09, 0.025, 0.2};
  const auto adjusted = holm(p);
  REQUIRE(adjusted.size() == expected.size());
  for (std::size_t i = 0; i < p.size(); ++i) CHECK(adjusted[i] == Approx(expected[i]));
  CHECK(holm({}).empty());
}

TEST_CASE("the one device that jams is named, and its neighbours are not") {
  std::vector<JamRecord> fleet;
  for (int i = 0; i < 40; ++i) fleet.push_back({"printer-" + std::to_string(i), 2, 20000});
  fleet.push_back({"palm-house", 14, 20000});
  fleet.push_back({"never-printed", 0, 0});
  const auto figures = compare_jams(fleet);
  REQUIRE(figures.size() == 41);
  for (const JamFigure& figure : figures) {
    CHECK(figure.worse == (figure.name == "palm-house"));
    CHECK_FALSE(figure.better);
  }
  CHECK(figures.back().ratio == Approx(7));
}

TEST_CASE("overlapping outages count once, and time in which nobody looked not at all") {
  const std::vector<IncidentSpan> incidents{
      {"media-jam", hour(10), hour(12), true},
      {"cover-open", hour(11), hour(13), true},
      {"toner-low", hour(20), hour(90), false},
      {"device-silent", hour(150), std::nullopt, true},
  };
  const std::vector<Span> blind{{hour(12), hour(14)}, {hour(-50), hour(-40)}};
  const Availability figure = availability(incidents, blind, kWeek);
  CHECK(figure.observed == 166h);
  CHECK(figure.down == 2h + 18h);
  REQUIRE(figure.share);
  CHECK(*figure.share == Approx(1 - 20.0 / 166));
}

TEST_CASE("availability is not claimed for a window in which nobody looked") {
  const std::vector<Span> blind{{hour(-1), hour(200)}};
  CHECK_FALSE(availability({}, blind, kWeek).share);
  CHECK_FALSE(availability({}, {}, {hour(5), hour(5)}).share);
}

namespace {

RepairFigures of_one(std::vector<IncidentSpan> incidents) {
  return repair_figures(std::vector{DeviceIncidents{std::move(incidents), {}}}, kWeek.to - kWeek.from, kWeek);
}

}  // namespace

TEST_CASE("an open repair lengthens the mean and is counted as open, not as a repair") {
  const std::vector<IncidentSpan> jams{
      {"media-jam", hour(10), hour(11), true},
      {"media-jam", hour(40), hour(43), true},
      {"media-jam", hour(158), std::nullopt, true},  // ten hours so far
  };
  const RepairFigures figures = of_one(jams);
  CHECK(figures.incidents == 3);
  CHECK(figures.open == 1);
  REQUIRE(figures.mean_between);
  CHECK(*figures.mean_between == Milliseconds(168h - 14h) / 3);
  CHECK(figures.between_low < *figures.mean_between);
  REQUIRE(figures.between_high);
  CHECK(*figures.between_high > *figures.mean_between);
  REQUIRE(figures.mean_repair);
  CHECK(*figures.mean_repair == Milliseconds(14h) / 2);
  REQUIRE(figures.median_repair);
  CHECK(*figures.median_repair == 3h);  // Kaplan-Meier: 2/3 after 1 h, 1/3 after 3 h
}

TEST_CASE("without incidents the time between has a lower limit only") {
  const RepairFigures figures = of_one({});
  CHECK_FALSE(figures.mean_between);
  CHECK_FALSE(figures.between_high);
  CHECK_FALSE(figures.mean_repair);
  CHECK_FALSE(figures.median_repair);
  CHECK(std::chrono::duration<double, std::ratio<3600>>(figures.between_low).count() ==
        Approx(168 / 3.68888).epsilon(1e-4));
}

TEST_CASE("an incident from before the window takes up its time but is not one of its incidents") {
  const std::vector<IncidentSpan> jams{{"media-jam", hour(-20), hour(8), true},
                                       {"media-jam", hour(50), hour(52), true}};
  const RepairFigures figures = of_one(jams);
  CHECK(figures.incidents == 1);
  CHECK(*figures.mean_between == 168h - 10h);
}

TEST_CASE("devices that are broken at the same time are not one") {
  // Three devices, one of which nobody looked at for two days. Two break at the same hour for ten hours.
  const std::vector<Span> blind{{hour(100), hour(148)}};
  const std::vector<DeviceIncidents> devices{{{{"toner-low", hour(20), hour(30), false}}, {}},
                                             {{{"toner-low", hour(20), hour(30), false}}, blind}};
  const auto observed = observed_time({}, kWeek) * 2 + observed_time(blind, kWeek);
  const RepairFigures figures = repair_figures(devices, observed, kWeek);
  CHECK(figures.incidents == 2);
  REQUIRE(figures.mean_between);
  CHECK(*figures.mean_between == Milliseconds(3 * 168h - 48h - 20h) / 2);
}

TEST_CASE("a repair while nobody looked takes no time from what was observed") {
  const std::vector<Span> blind{{hour(20), hour(25)}};
  const std::vector<DeviceIncidents> devices{{{{"media-jam", hour(10), hour(30), true}}, blind}};
  const RepairFigures figures = repair_figures(devices, observed_time(blind, kWeek), kWeek);
  REQUIRE(figures.mean_between);
  CHECK(*figures.mean_between == Milliseconds(168h - 20h));
}

TEST_CASE("what broke while nobody looked tells nothing of the time between") {
  const std::vector<Span> blind{kWeek};
  const std::vector<DeviceIncidents> devices{{{{"device-silent", hour(10), hour(30), true}}, blind}};
  const RepairFigures figures = repair_figures(devices, observed_time(blind, kWeek), kWeek);
  CHECK(figures.incidents == 1);
  CHECK_FALSE(figures.mean_between);
  CHECK(figures.between_low == 0h);
  CHECK_FALSE(figures.between_high);
  CHECK(figures.mean_repair == Milliseconds(20h));
}
