// GET /metrics by draft-ietf-opsawg-openmetrics. tests/api holds the whole text against the draft's grammar.
#include <catch2/catch.hpp>
#include <sstream>

#include "daemon/http/open_metrics.h"
#include "daemon/http/routes.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using incidents::DeviceState;
using model::Severity;

namespace {

struct Garden {
  http::FleetBoard board{"run", {}};

  Garden() { board.configure(two_sites()); }

  http::Response ask() {
    http::Request request;
    request.target = "/metrics";
    request.host = "localhost";
    request.now = kEight;
    return respond(request, board, {});
  }

  // Whether there is such a line.
  bool says(const std::string& line) {
    return ("\n" + ask().body.text()).find("\n" + line + "\n") != std::string::npos;
  }
};

std::size_t lines_with(const std::string& text, const std::string& begin) {
  std::istringstream lines(text);
  std::size_t count = 0;
  for (std::string line; std::getline(lines, line);) count += line.starts_with(begin) ? 1U : 0U;
  return count;
}

}  // namespace

TEST_CASE("metrics are of the draft's type, and end with its mark") {
  Garden garden;
  const auto response = garden.ask();
  CHECK(response.status == 200);
  CHECK(response.field("Content-Type") == "application/openmetrics-text; version=1.0.0; charset=utf-8");
  CHECK(response.body.text().ends_with("\n# EOF\n"));
  CHECK(response.body.text().find("# EOF") == response.body.text().size() - 6);
}

TEST_CASE("a text in a label cannot break out of it") {
  CHECK(http::metric_labels({{"a", "x"}, {"b", "y"}}) == R"(a="x",b="y")");
  CHECK(http::metric_labels({{"a", "\"} 1\n# EOF\n\\"}}) == R"(a="\"} 1\n# EOF\n\\")");
}

TEST_CASE("a device's metrics follow it") {
  Garden garden;
  CHECK(garden.says(R"(frisket_device_state{device="library-laser",frisket_device_state="unknown"} 1)"));
  CHECK(garden.says(R"(frisket_devices{state="unknown"} 3)"));
  garden.board.publish_device("library-laser", answered(DeviceState::stopped, {toner(3, 42)}), kEight);
  CHECK(garden.says(R"(frisket_device_state{device="library-laser",frisket_device_state="unknown"} 0)"));
  CHECK(garden.says(R"(frisket_device_state{device="library-laser",frisket_device_state="stopped"} 1)"));
  CHECK(garden.says(R"(frisket_devices{state="unknown"} 2)"));
  CHECK(garden.says(R"(frisket_devices{state="stopped"} 1)"));
  CHECK(garden.says(
      R"(frisket_supply_remaining_ratio{device="library-laser",supply="3",type="toner",colorant=""} 0.42)"));
  garden.board.publish_device("library-laser", answered(DeviceState::stopped, {toner(3, 41)}), kEight);
  CHECK(garden.says(
      R"(frisket_supply_remaining_ratio{device="library-laser",supply="3",type="toner",colorant=""} 0.41)"));
  CHECK(lines_with(garden.ask().body.text(), "frisket_supply_remaining_ratio{") == 1);
  CHECK(lines_with(garden.ask().body.text(), "frisket_device_impressions_total") == 0);  // nothing is counted
}

TEST_CASE("open incidents are counted by severity and kind, and those set aside by themselves") {
  Garden garden;
  garden.board.publish_transition(raised(incident("i1", Severity::critical)));
  garden.board.publish_transition(raised(incident("i2", Severity::critical)));
  garden.board.publish_transition(cleared(incident("i3", Severity::critical)));
  auto shelved = incident("i4", Severity::warning);
  shelved.operator_state = incidents::Incident::Operator::shelved;
  garden.board.publish_transition(raised(shelved));
  CHECK(garden.says(R"(frisket_incidents_open{severity="critical",kind="media-jam"} 2)"));
  CHECK(lines_with(garden.ask().body.text(), "frisket_incidents_open{") == 1);
  CHECK(garden.says("frisket_incidents_set_aside 1"));
}

TEST_CASE("the histogram of poll durations adds up") {
  Garden garden;
  http::FleetBoard::Health health;
  health.started_at = kEight;
  health.configuration = "ok";
  health.polls = 7;
  health.polls_missed = 2;
  health.poll_durations = {{0.005, 1.0}, {3, 2, 2}, 12.5};
  health.store.counters["kept_back"] = 4;
  health.each_hook["desk"] = {{"waiting", 3}, {"told", 9}};
  garden.board.set_health_source([&] { return health; });
  CHECK(garden.says(R"(frisket_polls_total{outcome="answered"} 5)"));
  CHECK(garden.says(R"(frisket_polls_total{outcome="missed"} 2)"));
  CHECK(garden.says(R"(frisket_poll_duration_seconds_bucket{le="0.005"} 3)"));
  CHECK(garden.says(R"(frisket_poll_duration_seconds_bucket{le="1.0"} 5)"));
  CHECK(garden.says(R"(frisket_poll_duration_seconds_bucket{le="+Inf"} 7)"));
  CHECK(garden.says("frisket_poll_duration_seconds_sum 12.5"));
  CHECK(garden.says("frisket_poll_duration_seconds_count 7"));
  CHECK(garden.says("frisket_store_lag 4"));
  CHECK(garden.says(R"(frisket_notices_waiting{hook="desk"} 3)"));
  CHECK(garden.says(R"(frisket_notices_total{hook="desk",outcome="told"} 9)"));
}
