#include <catch2/catch.hpp>

#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;

TEST_CASE("a healthy device raises nothing and is ready") {
  Correlator correlator(one_device());
  CHECK(correlator.device("herbarium-copier")->state == DeviceState::unknown);
  CHECK(correlator.apply(reading(healthy(), kMorning)).empty());
  CHECK(correlator.device("herbarium-copier")->state == DeviceState::ready);
  CHECK(correlator.device("herbarium-copier")->last_reading_at == kMorning);
  CHECK(correlator.incidents().empty());
}

TEST_CASE("a jam said by row, bit and status is one incident at the place of the row") {
  Correlator correlator(one_device());
  auto snapshot = healthy();
  snapshot.host.device = model::HostDeviceStatus::down;
  snapshot.host.printer = model::HostPrinterStatus::other;
  snapshot.host.errors = model::ErrorBits{model::ErrorBit::jammed};
  snapshot.inputs[1].status = model::SubunitStatus::decode(19);
  snapshot.alerts = {alert(AlertSeverity::critical, AlertGroup::input, 2, AlertCode::jam, "Paper jam in tray 2")};

  const auto transitions = correlator.apply(reading(snapshot, kMorning));
  REQUIRE(transitions.size() == 1);
  const auto& incident = transitions[0].incident;
  CHECK(transitions[0].what == Transition::What::raised);
  CHECK(incident.kind == "media-jam");
  CHECK(incident.subunit == Subunit{Subunit::Kind::input, 2});
  CHECK(incident.place == "Tray 2");
  CHECK(incident.severity == Severity::critical);
  CHECK(incident.summary == "Paper is jammed at Tray 2.");
  CHECK(incident.raised_at == kMorning);
  CHECK(incident.site == "glasshouse");
  REQUIRE(incident.evidence.size() == 1);
  CHECK(incident.evidence[0].witnesses.size() == 3);
  REQUIRE_FALSE(incident.remedy.cautions.empty());
  CHECK(incident.remedy.steps.front().find("Tray 2") != std::string::npos);
  CHECK(correlator.device("herbarium-copier")->state == DeviceState::stopped);

  const auto cleared = correlator.apply(reading(healthy(), kMorning + 30s));
  REQUIRE(cleared.size() == 1);
  CHECK(cleared[0].what == Transition::What::cleared);
  CHECK(cleared[0].incident.id == incident.id);
  CHECK(cleared[0].incident.severity == Severity::critical);
  CHECK(cleared[0].incident.cleared_at == kMorning + 30s);
}

TEST_CASE("a cartridge that runs down is one incident that worsens and keeps its id") {
  Correlator correlator(one_device());
  auto snapshot = healthy();
  std::vector<Transition> told;
  auto at = kMorning;
  for (const int percent : {12, 10, 9, 3, 2, 0, 0, 100}) {
    snapshot.supplies = {toner(1, "black", percent)};
    for (auto& transition : correlator.apply(reading(snapshot, at))) told.push_back(transition);
    at += 30s;
  }
  REQUIRE(told.size() == 4);
  CHECK(told[0].what == Transition::What::raised);
  CHECK(told[0].incident.kind == "toner-low");
  CHECK(told[0].incident.severity == Severity::warning);
  CHECK(told[0].at == kMorning + 30s);
  CHECK(told[1].incident.severity == Severity::minor);
  CHECK(told[1].at == kMorning + 90s);
  CHECK(told[2].incident.kind == "toner-empty");
  CHECK(told[2].incident.severity == Severity::major);
  CHECK(told[2].incident.earlier_kinds == std::vector<std::string>{"toner-low"});
  CHECK(concerns(told[2].incident, "toner-low"));
  CHECK(told[3].what == Transition::What::cleared);
  for (const auto& transition : told) CHECK(transition.incident.id == told[0].incident.id);
  REQUIRE(told[0].incident.remedy.carry.size() == 1);
  CHECK(told[0].incident.remedy.carry[0] == CarriedPart{"QX-701A", "Quillon", "black", 1});
}

TEST_CASE("a device is silent after as many missed polls as configured, and its other incidents stay") {
  Correlator correlator(one_device());
  auto open = healthy();
  open.covers[0].status = model::CoverStatus::cover_open;
  REQUIRE(correlator.apply(reading(open, kMorning)).size() == 1);
  CHECK(correlator.apply(missed(kMorning + 30s)).empty());
  CHECK(correlator.apply(missed(kMorning + 60s)).empty());
  CHECK(correlator.device("herbarium-copier")->state == DeviceState::attention);
  const auto silent = correlator.apply(missed(kMorning + 90s));
  REQUIRE(silent.size() == 1);
  CHECK(silent[0].incident.kind == "device-silent");
  CHECK(correlator.device("herbarium-copier")->state == DeviceState::silent);
  CHECK(correlator.apply(missed(kMorning + 120s)).empty());

  const auto back = correlator.apply(reading(open, kMorning + 150s));
  REQUIRE(back.size() == 1);
  CHECK(back[0].what == Transition::What::cleared);
  CHECK(back[0].incident.kind == "device-silent");
}

TEST_CASE("readings of a device that is not configured change nothing") {
  Correlator correlator(one_device());
  auto stranger = missed(kMorning);
  stranger.device = "unknown-copier";
  for (int poll = 0; poll < 5; ++poll) CHECK(correlator.apply(stranger).empty());
  CHECK(correlator.device("unknown-copier") == nullptr);
}

TEST_CASE("a device taken out of the configuration has its incidents cleared") {
  Correlator correlator(one_device());
  auto open = healthy();
  open.covers[0].status = model::CoverStatus::cover_open;
  correlator.apply(reading(open, kMorning));
  auto without = one_device();
  without.devices.clear();
  const auto transitions = correlator.reconfigure(without, kMorning + 1h);
  REQUIRE(transitions.size() == 1);
  CHECK(transitions[0].what == Transition::What::cleared);
  CHECK(correlator.device("herbarium-copier") == nullptr);
  REQUIRE(correlator.incidents().size() == 1);
  CHECK(correlator.incidents()[0]->state == Incident::State::cleared);
}

TEST_CASE("after a restart raised incidents go on under their ids, and new ones get later ids") {
  Correlator before(one_device());
  auto snapshot = healthy();
  snapshot.covers[0].status = model::CoverStatus::cover_open;
  snapshot.supplies = {toner(1, "black", 9)};
  REQUIRE(before.apply(reading(snapshot, kMorning)).size() == 2);
  const auto memory = before.memory();

  // With all that was remembered, and with no more than the incidents themselves.
  auto incidents_only = memory;
  incidents_only.devices.clear();
  for (const auto& kept : {memory, incidents_only}) {
    Correlator after(one_device());
    CHECK(after.restore(kept, kMorning + 10s).empty());
    CHECK(after.incidents().size() == 2);
    snapshot.supplies = {toner(1, "black", 12)};  // within the hysteresis: still low
    CHECK(after.apply(reading(snapshot, kMorning + 30s)).empty());
    auto jammed = snapshot;
    jammed.supplies = {toner(1, "black", 2)};
    jammed.alerts = {alert(AlertSeverity::critical, AlertGroup::output, 1, AlertCode::jam)};
    const auto transitions = after.apply(reading(jammed, kMorning + 60s));
    REQUIRE(transitions.size() == 2);
    for (const auto& transition : transitions) CHECK(transition.what == Transition::What::changed);
    CHECK(after.memory().last_id == memory.last_id);
  }
}

TEST_CASE("a reading older than the last one counts as of the last one's time") {
  Correlator correlator(one_device());
  correlator.apply(reading(healthy(), kMorning));
  auto open = healthy();
  open.covers[0].status = model::CoverStatus::cover_open;
  const auto transitions = correlator.apply(reading(open, kMorning - 1h));
  REQUIRE(transitions.size() == 1);
  CHECK(transitions[0].at == kMorning);
}

TEST_CASE("only the most recent thousand cleared incidents are kept") {
  Correlator correlator(one_device());
  auto open = healthy();
  open.covers[0].status = model::CoverStatus::cover_open;
  auto at = kMorning;
  std::string first;
  for (std::size_t round = 0; round < kClearedKept + 5; ++round) {
    const auto raised = correlator.apply(reading(open, at));
    REQUIRE(raised.size() == 1);
    if (first.empty()) first = raised[0].incident.id;
    REQUIRE(correlator.apply(reading(healthy(), at + 1s)).size() == 1);
    at += 30min;  // sooner, it would be the same incident raised again
  }
  CHECK(correlator.incidents().size() == kClearedKept);
  CHECK(correlator.incident(first) == nullptr);
}

TEST_CASE("another firmware or serial number is noted with the time of the reading that first had it") {
  Correlator correlator(one_device());
  auto snapshot = healthy();
  snapshot.general.serial_number = "QX-0001";
  snapshot.system.description = "Quillon LX 4100, firmware 4.18";
  correlator.apply(reading(snapshot, kMorning));
  const auto* status = correlator.device("herbarium-copier");
  CHECK_FALSE(status->firmware_changed_at.has_value());

  snapshot.system.description = "Quillon LX 4100, firmware 4.20";
  CHECK(correlator.apply(reading(snapshot, kMorning + 30s)).empty());
  status = correlator.device("herbarium-copier");
  CHECK(status->firmware_changed_at == kMorning + 30s);
  CHECK_FALSE(status->serial_changed_at.has_value());

  snapshot.general.serial_number.clear();  // a reading without it is no change
  correlator.apply(reading(snapshot, kMorning + 60s));
  snapshot.general.serial_number = "QX-0002";
  correlator.apply(reading(snapshot, kMorning + 90s));
  status = correlator.device("herbarium-copier");
  CHECK_FALSE(status->serial_changed_at.has_value());
  snapshot.general.serial_number = "QX-0003";
  correlator.apply(reading(snapshot, kMorning + 120s));
  status = correlator.device("herbarium-copier");
  CHECK(status->serial_changed_at == kMorning + 120s);
  CHECK(status->firmware_changed_at == kMorning + 30s);
}

TEST_CASE("another configuration counts for a device that stands still") {
  auto snapshot = healthy();
  snapshot.supplies = {toner(1, "black", 9)};
  auto next = reading(snapshot, kMorning);
  Correlator correlator(one_device());
  REQUIRE(correlator.apply(next).size() == 1);
  for (int i = 0; i < 3; ++i) {
    next.at += 30s;  // with the same snapshot, as the probe does where nothing has moved
    REQUIRE(correlator.apply(next).empty());
  }
  auto config = one_device();
  config.devices[0].out_of_service = "lent to the arboretum";
  CHECK(correlator.reconfigure(config, next.at).empty());
  next.at += 30s;
  const auto transitions = correlator.apply(next);
  REQUIRE(transitions.size() == 1);
  CHECK(transitions[0].what == What::cleared);
}
