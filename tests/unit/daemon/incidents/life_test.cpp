// Raising, coming back, proofs and ends of single incidents (correlator_life.cpp), at their edges.
#include <catch2/catch.hpp>

#include "fixtures.h"
#include "sites.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;

namespace {

// One device, read every half minute.
struct Printer {
  Correlator correlator{one_device()};
  model::DeviceSnapshot snapshot = healthy();
  WallTime at = kMorning;

  Words read() {
    at += 30s;
    return told(correlator.apply(reading(snapshot, at)));
  }
  Words jam() {
    snapshot.alerts = {alert(AlertSeverity::critical, AlertGroup::input, 2, AlertCode::jam)};
    return read();
  }
  Words clear() {
    snapshot.alerts.clear();
    return read();
  }
  Words print(std::uint32_t impressions) {
    snapshot.markers[0].life_count = impressions;
    return read();
  }
  Words black(std::int32_t percent) {
    snapshot.supplies = {toner(1, "black", percent)};
    return read();
  }
  const Incident& last() const { return *correlator.incidents().back(); }
};

}  // namespace

TEST_CASE("a page counter that starts again while a proof is awaited proves by its next page") {
  Printer printer;
  printer.jam();
  printer.clear();
  REQUIRE(printer.last().proof == Proof::awaited);
  CHECK(printer.print(5).empty());
  CHECK(printer.print(5).empty());
  CHECK(printer.print(6) == Words{"proved media-jam herbarium-copier"});
  CHECK(printer.last().proof == Proof::held);
}

TEST_CASE("a level that rises by twenty points is another cartridge, by nineteen it is not") {
  for (const auto& [to, replaced] : {std::pair(29, false), std::pair(30, true)}) {
    Printer printer;
    REQUIRE(printer.black(10) == Words{"raised toner-low herbarium-copier"});
    CHECK(printer.black(to) == Words{"cleared toner-low herbarium-copier"});
    CHECK(printer.last().outcome == (replaced ? "replaced at 120345 impressions" : ""));
    CHECK(printer.correlator.take_replacements().size() == (replaced ? 1 : 0));
    CHECK(printer.correlator.take_replacements().empty());
  }
}

TEST_CASE("an incident that has been of one kind only had no other before") {
  Printer printer;
  printer.black(10);
  printer.black(9);
  CHECK(printer.black(3) == Words{"changed toner-low herbarium-copier"});
  CHECK(printer.last().earlier_kinds.empty());
  printer.black(0);
  CHECK(printer.last().earlier_kinds == Words{"toner-low"});
}

TEST_CASE("what chatters ends at once when its device is taken out of service") {
  Printer printer;
  for (int i = 0; i < 3; ++i) {
    printer.snapshot.outputs[0].remaining_capacity = model::Amount{0};
    printer.read();
    printer.snapshot.outputs[0].remaining_capacity = model::Amount{250};
    if (i < 2) printer.read();
  }
  REQUIRE(printer.last().chattering);
  auto config = one_device();
  config.devices[0].out_of_service = "lent to the arboretum";
  printer.correlator.reconfigure(config, printer.at);
  CHECK(printer.read() == Words{"cleared output-area-full herbarium-copier"});
  CHECK(printer.last().outcome == "taken out of service");
  CHECK_FALSE(printer.last().chattering);
}

TEST_CASE("a jam of which one witness knows the place counts for that place") {
  Printer printer;
  for (std::uint32_t i = 1; i <= 3; ++i) {
    printer.snapshot.alerts = {alert(AlertSeverity::critical, AlertGroup::general_printer, -1, AlertCode::jam),
                               alert(AlertSeverity::critical, AlertGroup::input, 2, AlertCode::jam)};
    printer.snapshot.alerts[1].index = 2;
    printer.read();
    printer.clear();
    printer.print(120345 + i);
  }
  CHECK(printer.correlator.memory_of("herbarium-copier")->jams.contains("jam@input:2"));
  CHECK(open_set(printer.correlator) == Words{"jam-recurring herbarium-copier"});
}

TEST_CASE("a cover that does not close is as bad as the cover that is open") {
  for (const auto severity : {AlertSeverity::critical, AlertSeverity::warning}) {
    Printer printer;
    printer.snapshot.covers[0].status = model::CoverStatus::cover_open;
    printer.snapshot.alerts = {alert(severity, AlertGroup::cover, 1, AlertCode::cover_open)};
    if (severity == AlertSeverity::critical) printer.snapshot.host.device = model::HostDeviceStatus::down;
    printer.read();
    const auto before = printer.last().severity;
    for (int i = 0; i < 21; ++i) printer.read();
    REQUIRE(printer.last().kind == "tray-misload");
    CHECK(printer.last().severity == before);
    const auto& evidence = printer.last().evidence;
    const auto misload = std::ranges::find(evidence, "tray-misload", &Condition::keyword);
    REQUIRE(misload != evidence.end());
    CHECK(misload->severity == before);
  }
}
