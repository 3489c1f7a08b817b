// What a visit could do at a device. Values and minutes are common practice, no source; what is checked is the logic.
#include "daemon/upkeep/visit.h"

#include <catch2/catch.hpp>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Severity;
using frisket::model::SupplyType;
using frisket::model::Training;
using moments::at;

namespace {

const WallTime kNow = at("2026-03-02T08:00:00Z");
const WallTime kNext = kNow + 24h * 7;

DepletionForecast in_days(int p10, int p50, int p90) {
  DepletionForecast forecast;
  forecast.p10 = kNow + 24h * p10;
  forecast.p50 = kNow + 24h * p50;
  forecast.p90 = kNow + 24h * p90;
  return forecast;
}

SupplyOutlook supply(std::int32_t index, SupplyType type, DepletionForecast forecast, const std::string& part = "") {
  return {{index, frisket::model::SupplyClass::supply_that_is_consumed, type, "black", "Black"}, part, forecast, {}};
}

Trouble trouble(const std::string& id, Severity severity, std::optional<std::int32_t> about = {}) {
  Trouble trouble;
  trouble.incident = id;
  trouble.summary = "Paper is jammed";
  trouble.severity = severity;
  trouble.training = Training::trained;
  trouble.supply = about;
  trouble.cautions = {"careful"};
  trouble.steps = {"pull it out"};
  trouble.carry = {{"QX-701A", "Quillon", "black", 1}};
  return trouble;
}

struct Copier {
  DeviceOutlook outlook;
  std::vector<ServiceTask> tasks{{"dust", "Clean out dust", 30000, 365, "", {}, 15, {"careful"}, {"wipe"}}};
  VisitedDevice visited;

  Copier() {
    outlook.name = visited.name = "herbarium-copier";
    outlook.identity.maker = "Quillon";
    visited.location = "Herbarium, first floor";
  }
  std::vector<RoundStop> stops() {
    visited.outlook = &outlook;
    visited.tasks = tasks;
    return stops_of(std::vector{visited}, kNow, kNext);
  }
};

}  // namespace

TEST_CASE("a device where there is nothing to do is no stop") { CHECK(Copier().stops().empty()); }

TEST_CASE("an open incident is a job with its own remedy, worth what its severity is worth") {
  Copier copier;
  copier.visited.troubles = {trouble("i1", Severity::critical)};
  const auto stops = copier.stops();
  REQUIRE(stops.size() == 1);
  CHECK(stops[0].location == location_from("Herbarium, first floor"));
  REQUIRE(stops[0].tasks.size() == 1);
  const auto& job = stops[0].tasks[0];
  CHECK(job.incident == "i1");
  CHECK(job.severity == Severity::critical);
  CHECK(job.value == value_of(Severity::critical));
  CHECK(job.minutes == minutes_for(Training::trained));
  CHECK(job.cautions == std::vector<std::string>{"careful"});
  CHECK(job.steps == std::vector<std::string>{"pull it out"});
  CHECK(job.carry == std::vector<CarriedItem>{{"QX-701A", "Quillon", "black", 1}});
}

TEST_CASE("a supply that will be used up before the next visit is taken along, one that lasts is not") {
  Copier copier;
  copier.outlook.supplies = {supply(1, SupplyType::toner, in_days(2, 4, 7), "QX-701A"),
                             supply(2, SupplyType::toner, in_days(60, 80, 100))};
  const auto stops = copier.stops();
  REQUIRE(stops.size() == 1);
  REQUIRE(stops[0].tasks.size() == 1);
  const auto& job = stops[0].tasks[0];
  CHECK(job.supply == 1);
  CHECK(job.carry == std::vector<CarriedItem>{{"QX-701A", "Quillon", "black", 1}});
  CHECK(job.value == Approx(kEmptySupply * chance_before(copier.outlook.supplies[0].forecast, kNow, kNext)));
  CHECK(job.why.find("in about 4 days (2 to 7)") != std::string::npos);
  CHECK_FALSE(job.cautions.empty());
}

TEST_CASE("a supply that an open incident is about is one job, not two") {
  Copier copier;
  copier.outlook.supplies = {supply(1, SupplyType::toner, in_days(2, 4, 7), "QX-701A")};
  copier.visited.troubles = {trouble("i1", Severity::minor, 1)};
  REQUIRE(copier.stops().size() == 1);
  CHECK(copier.stops()[0].tasks.size() == 1);
  copier.visited.troubles = {trouble("i1", Severity::minor, 2)};
  CHECK(copier.stops()[0].tasks.size() == 2);
}

TEST_CASE("a supply that is low is worth what its end is worth, and waits where it lasts") {
  Copier copier;
  copier.outlook.supplies = {supply(1, SupplyType::toner, in_days(1, 2, 3), "QX-701A")};
  copier.visited.troubles = {trouble("i1", Severity::warning, 1)};
  REQUIRE(copier.stops().size() == 1);
  const auto job = copier.stops()[0].tasks[0];
  CHECK(job.incident == "i1");
  CHECK(job.value == Approx(kEmptySupply * chance_before(copier.outlook.supplies[0].forecast, kNow, kNext)));
  CHECK(job.value > 5 * value_of(Severity::warning));
  CHECK(job.why.find("open incident, warning, used up in about 2 days (1 to 3)") != std::string::npos);
  copier.outlook.supplies = {supply(1, SupplyType::toner, in_days(60, 80, 100))};
  CHECK(copier.stops().empty());
  copier.visited.troubles = {trouble("i1", Severity::critical, 1)};  // it is used up, whatever was expected
  CHECK(copier.stops()[0].tasks[0].value == value_of(Severity::critical));
  copier.visited.troubles = {trouble("i1", Severity::warning, 1)};
  copier.outlook.supplies[0].forecast = {};
  copier.outlook.supplies[0].forecast.no_date = NoDate::some_left_only;
  CHECK(copier.stops()[0].tasks[0].value == value_of(Severity::warning));
}

TEST_CASE("what is due is a job with the task's remedy, what is not is none") {
  Copier copier;
  TaskStatus status;
  status.key = "dust";
  copier.outlook.tasks = {status};
  CHECK(copier.stops().empty());
  copier.outlook.tasks[0].due = Due::overdue;
  const auto stops = copier.stops();
  REQUIRE(stops.size() == 1);
  const auto& job = stops[0].tasks[0];
  CHECK(job.service == "herbarium-copier:dust");
  CHECK(job.title == "Clean out dust");
  CHECK(job.minutes == 15);
  CHECK(job.value == value_of(copier.outlook.tasks[0]));
  CHECK(job.steps == std::vector<std::string>{"wipe"});
}

TEST_CASE("a supply without a date is left to those who look") {
  Copier copier;
  DepletionForecast none;
  none.no_date = NoDate::some_left_only;
  none.reason = "some left only";
  copier.outlook.supplies = {supply(1, SupplyType::toner, none)};
  CHECK(copier.stops().empty());
}

TEST_CASE("hot and dusty parts come with their cautions") {
  Copier copier;
  copier.outlook.supplies = {supply(1, SupplyType::fuser, in_days(1, 2, 3))};
  const auto fuser = copier.stops()[0].tasks[0].cautions;
  copier.outlook.supplies = {supply(1, SupplyType::toner, in_days(1, 2, 3))};
  const auto toner = copier.stops()[0].tasks[0].cautions;
  const auto says = [](const auto& cautions, const char* word) {
    return std::ranges::any_of(cautions, [&](const auto& text) { return text.find(word) != std::string::npos; });
  };
  CHECK(says(fuser, "hot"));
  CHECK_FALSE(says(fuser, "dust"));
  CHECK(says(toner, "dust"));
  CHECK(says(toner, "manual"));
}
