// What is opened for a jam belongs to it (docs/incidents.md, "Incidents"); found by tests/week.
#include <catch2/catch.hpp>

#include "fixtures.h"

namespace frisket::incidents {
namespace {

using namespace testing;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;
using model::ErrorBit;

model::DeviceSnapshot jammed(model::DeviceSnapshot snapshot) {
  snapshot.alerts.push_back(alert(AlertSeverity::critical, AlertGroup::input, 2, AlertCode::jam, "Jam in tray 2"));
  return snapshot;
}

model::DeviceSnapshot with_open_cover_and_tray() {
  auto snapshot = healthy();
  snapshot.covers[0].status = model::CoverStatus::cover_open;
  snapshot.alerts = {alert(AlertSeverity::critical, AlertGroup::input, 2, AlertCode::input_media_tray_missing)};
  return snapshot;
}

std::vector<const Incident*> raised(const Correlator& correlator) {
  std::vector<const Incident*> found;
  for (const auto* incident : correlator.incidents())
    if (incident->state == Incident::State::raised) found.push_back(incident);
  return found;
}

}  // namespace

TEST_CASE(
    "a cover that is first seen open when the sheet is out goes on as the jam's incident, also when acknowledged") {
  for (const bool acknowledged : {false, true}) {
    Correlator correlator(one_device());
    correlator.apply(reading(jammed(healthy()), kMorning));
    REQUIRE(raised(correlator).size() == 1);
    const auto id = raised(correlator).front()->id;
    if (acknowledged) REQUIRE(correlator.act(id, {kMorning + 5s, OperatorState::ack, "robin", "", {}}));
    auto open = healthy();
    open.covers[0].status = model::CoverStatus::cover_open;
    correlator.apply(reading(open, kMorning + 10s));
    REQUIRE(raised(correlator).size() == 1);
    CHECK(raised(correlator).front()->id == id);
    CHECK(raised(correlator).front()->kind == "cover-open");
    const auto told = correlator.apply(reading(healthy(), kMorning + 40s));
    REQUIRE(told.size() == 1);
    CHECK(told.front().what == What::cleared);
    CHECK(told.front().incident.id == id);
  }
}

TEST_CASE(
    "a cover and a tray that stand open when the sheet is out are still one incident, however often they are read") {
  Correlator correlator(one_device());
  correlator.apply(reading(jammed(healthy()), kMorning));
  const auto id = raised(correlator).front()->id;
  correlator.apply(reading(with_open_cover_and_tray(), kMorning + 10s));
  CHECK(correlator.apply(reading(with_open_cover_and_tray(), kMorning + 20s)).empty());
  REQUIRE(raised(correlator).size() == 1);
  CHECK(raised(correlator).front()->id == id);
  CHECK(raised(correlator).front()->evidence.size() == 2);
  correlator.apply(reading(healthy(), kMorning + 40s));
  CHECK(raised(correlator).empty());
}

TEST_CASE("what is opened for a jam that comes again and again is part of that trouble until it is closed") {
  Correlator correlator(one_device());
  auto snapshot = healthy();
  auto at = kMorning;
  for (int i = 0; i < 3; ++i) {
    correlator.apply(reading(jammed(snapshot), at));
    at += 30s;
    if (i == 2) break;
    correlator.apply(reading(snapshot, at));
    at += 20min;
    snapshot.markers[0].life_count = *snapshot.markers[0].life_count + 50;
    correlator.apply(reading(snapshot, at));
    at += 30s;
  }
  REQUIRE(raised(correlator).size() == 1);
  const auto id = raised(correlator).front()->id;
  auto open = snapshot;
  open.covers[0].status = model::CoverStatus::cover_open;
  correlator.apply(reading(open, at));
  REQUIRE(raised(correlator).size() == 1);
  CHECK(raised(correlator).front()->id == id);
  correlator.apply(reading(snapshot, at + 30s));
  REQUIRE(raised(correlator).size() == 1);
  CHECK(raised(correlator).front()->kind == "jam-recurring");
  CHECK(raised(correlator).front()->evidence.size() == 1);
}

TEST_CASE("a cover that is opened long after the sheet is out is an incident of its own") {
  Correlator correlator(one_device());
  correlator.apply(reading(jammed(healthy()), kMorning));
  const auto id = raised(correlator).front()->id;
  correlator.apply(reading(healthy(), kMorning + 30s));
  auto open = healthy();
  open.covers[0].status = model::CoverStatus::cover_open;
  correlator.apply(reading(open, kMorning + 20min));
  REQUIRE(raised(correlator).size() == 1);
  CHECK(raised(correlator).front()->id != id);
}

TEST_CASE("where only bits speak, the tray that is out is the empty one, and the door bit is that tray") {
  Correlator correlator(one_device());
  auto empty = healthy();
  empty.inputs[1].current_level = model::Amount{0};
  empty.host.errors = model::ErrorBits{ErrorBit::input_tray_empty};
  correlator.apply(reading(empty, kMorning));
  REQUIRE(raised(correlator).size() == 1);
  const auto id = raised(correlator).front()->id;
  auto out = empty;
  out.host.errors = model::ErrorBits{ErrorBit::input_tray_missing, ErrorBit::door_open};
  correlator.apply(reading(out, kMorning + 30s));
  REQUIRE(raised(correlator).size() == 1);
  CHECK(raised(correlator).front()->id == id);
  CHECK(raised(correlator).front()->kind == "input-tray-missing");
  CHECK(raised(correlator).front()->subunit == Subunit{Subunit::Kind::input, 2});
}

}  // namespace frisket::incidents
