// Traps against RFC 3805 section 6 (printerV1Alert, printerV2Alert). What they look like to another
// implementation: tests/peers.
#include "tests/simfleet/traps.h"

#include <catch2/catch.hpp>
#include <vector>

#include "tests/simfleet/ber.h"

using namespace frisket::simfleet;

namespace {

struct Told {
  std::shared_ptr<const Model> model =
      load_model(std::string(FRISKET_TESTS_DIR) + "/simfleet/models/tarnwick-m210.toml");
  Device device{Identity{"p", 0x7F120001, "s", "l", "SN1", "garden"}, model, Start{}, {}, SimTime{0}};
  std::vector<AlertAdded> alerts;

  Told() {
    for (const char* line : {"replace 1", "replace 2", "load 1 full", "load 2 full"}) does(line);
    device.on_critical = [this](const Device&, const AlertAdded& alert) { alerts.push_back(alert); };
  }
  void does(const char* line) { device.apply(std::get<Event>(parse_event(line, *model)), SimTime{0}); }
};

std::string hex(std::string_view bytes) {
  std::string out;
  for (const unsigned char c : bytes) {
    out += "0123456789abcdef"[c >> 4];
    out += "0123456789abcdef"[c & 15];
  }
  return out;
}

}  // namespace

TEST_CASE("a critical alert is told of once, a warning and what is over not at all") {
  Told told;
  told.does("open 1");
  REQUIRE(told.alerts.size() == 1);
  CHECK(told.alerts[0].condition.subunit == Subunit{6, 1});
  CHECK(told.alerts[0].condition.severity == 3);
  told.does("close 1");
  told.does("level 1 1");  // low toner: binaryWarning
  CHECK(told.alerts.size() == 1);
  told.does("open 1");
  CHECK(told.alerts.size() == 2);
}

TEST_CASE("the trap is the standard's, octet for octet, in both versions") {
  // Put together by hand from RFC 1157 section 4.1.6, RFC 3416 sections 3 and 4.2.6, RFC 3805 section 6:
  // row 7, critical (3), cover (6) number 1, no location (0), coverOpen (3), hrDeviceIndex 1.
  const Told told;
  AlertAdded alert{7, 300, {}};
  alert.condition.severity = 3;
  alert.condition.subunit = {6, 1};
  alert.condition.location = 0;
  alert.condition.code = 3;
  const std::string cells =
      "3011060c2b060102012b12010101"
      "0107"
      "020107"
      "3011060c2b060102012b12010102"
      "0107"
      "020103"
      "3011060c2b060102012b12010104"
      "0107"
      "020106"
      "3011060c2b060102012b12010105"
      "0107"
      "020101"
      "3011060c2b060102012b12010106"
      "0107"
      "020100"
      "3011060c2b060102012b12010107"
      "0107"
      "020103";
  REQUIRE(told.model->device_index == 1);
  CHECK(hex(alert_trap(Version::v1, told.device, alert, 0)) ==
        "30819c"
        "020100"
        "040667617264656e"
        "a4818e"
        "06082b060102012b1202"
        "40047f120001"
        "020106"
        "020101"
        "4302012c"
        "3072" +
            cells);
  CHECK(hex(alert_trap(Version::v2c, told.device, alert, 5)) ==
        "3081b6"
        "020101"
        "040667617264656e"
        "a781a8"
        "020105"
        "020100"
        "020100"
        "30819c"
        "300e06082b060102010103004302012c"
        "3018060a2b06010603010104010006"
        "0a2b060102012b12020001" +
            cells);
}
