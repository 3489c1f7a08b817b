#include "probes/model/merged.h"

#include <catch2/catch.hpp>

using namespace frisket::model;

namespace {

Supply supply(std::int32_t index, Level level, std::string colorant = "black") {
  Supply made;
  made.index = index;
  made.type = SupplyType::toner;
  made.supply_class = SupplyClass::supply_that_is_consumed;
  made.colorant = std::move(colorant);
  made.level = level;
  made.max_capacity = Amount{100};
  made.unit = SupplyUnit::percent;
  return made;
}

}  // namespace

TEST_CASE("of one device seen two ways, what the first says stands, and what it leaves open is filled") {
  DeviceSnapshot snmp;
  snmp.system.name = "fern";
  snmp.host.printer = HostPrinterStatus::idle;
  snmp.supplies = {supply(1, SomeLeft{}), supply(2, Amount{40}), supply(3, Unknown{}, "cyan")};
  DeviceSnapshot ipp;
  ipp.system.name = "other";
  ipp.system.location = "Herbarium, first floor";
  ipp.host.printer = HostPrinterStatus::printing;
  ipp.supplies = {supply(1, Amount{7}), supply(2, Amount{99}), supply(3, Amount{5}, "magenta")};
  ipp.general.serial_number = "QX-1";
  ipp.colour_impressions = 34300;

  const auto both = merged(snmp, ipp);
  CHECK(both.system.name == "fern");
  CHECK(both.system.location == "Herbarium, first floor");
  CHECK(both.general.serial_number == "QX-1");
  CHECK(both.colour_impressions == 34300U);
  CHECK(both.host.printer == HostPrinterStatus::idle);
  REQUIRE(both.supplies.size() == 3);
  CHECK(both.supplies[0].level == Level(Amount{7}));
  CHECK(both.supplies[1].level == Level(Amount{40}));
  // Not the same supply, whatever the index says.
  CHECK(both.supplies[2].level == Level(Unknown{}));
}

TEST_CASE("rows that only one of the two has are taken as they are") {
  DeviceSnapshot snmp;
  snmp.covers.push_back({1, "Front", CoverStatus::cover_open});
  DeviceSnapshot ipp;
  ipp.inputs.resize(2);
  ipp.inputs[1].index = 2;
  ipp.gaps = {"printer-alert: cut"};
  const auto both = merged(snmp, ipp);
  CHECK(both.covers.size() == 1);
  CHECK(both.inputs.size() == 2);
  CHECK(both.gaps == ipp.gaps);
  CHECK(merged(snmp, DeviceSnapshot{}) == snmp);
}

TEST_CASE("a page counter is never put together from two witnesses") {
  Marker counted;
  counted.index = 1;
  counted.life_count = 100;
  DeviceSnapshot snmp;
  snmp.markers = {counted};
  DeviceSnapshot ipp;
  counted.index = 2;
  ipp.markers = {counted};
  CHECK(merged(snmp, ipp).impressions() == 100U);
  CHECK(merged(DeviceSnapshot{}, ipp).impressions() == 100U);
}

TEST_CASE("state reasons speak for a device only where it has no alerts and no error bits of its own") {
  DeviceSnapshot ipp;
  ipp.alerts.resize(1);
  DeviceSnapshot with_bits;
  with_bits.host.errors = ErrorBits{};
  DeviceSnapshot with_table;
  with_table.general.all_events = 12;
  CHECK(merged(with_bits, ipp).alerts.empty());
  CHECK(merged(with_table, ipp).alerts.empty());
  CHECK(merged(DeviceSnapshot{}, ipp).alerts.size() == 1);
}
