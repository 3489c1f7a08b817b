#include "daemon/upkeep/observations.h"

#include <catch2/catch.hpp>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::SupplyType;
using moments::at;

namespace {

const WallTime kNow = at("2026-03-02T08:00:00Z");

}  // namespace

TEST_CASE("of a device that was never heard only what needs no reading is known") {
  const auto known = known_of({}, kNow);
  CHECK(known == Known{{"device-silent", false}, {"device-stopped", false}, {"failed-before", false}});
}

TEST_CASE("what the daemon observes is an observation of the table") {
  DeviceOutlook outlook;
  outlook.printed_at = kNow;
  TaskStatus cleaning;
  cleaning.key = "dust";
  outlook.tasks = {cleaning};
  DeviceNow device;
  device.heard = true;
  device.supplies = {{SupplyType::toner, true, 3.0},
                     {SupplyType::opc, false, 15.0},
                     {SupplyType::fuser, false, 16.0},
                     {SupplyType::transfer_unit, true, {}}};
  device.queues = QueuesNow{true, false, true};
  device.replaced_at = kNow - 24h * 4;
  device.jams_above_fleet = true;
  device.outlook = &outlook;
  const auto known = known_of(device, kNow);
  for (const auto& [observation, so] : known) {
    INFO(observation);
    CHECK(default_complaints().observation(observation) != nullptr);
  }
  CHECK(known.size() == 16);
  CHECK(known.at("supply-low"));
  CHECK(known.at("drum-near-end"));
  CHECK_FALSE(known.at("fuser-near-end"));
  CHECK(known.at("transfer-near-end"));
  CHECK_FALSE(known.at("supply-new"));
  CHECK_FALSE(known.at("inkjet"));
  CHECK(known.at("queue-stopped"));
  CHECK_FALSE(known.at("jobs-waiting"));
  CHECK(known.at("driver-mismatch"));
  CHECK(known.at("jams-above-fleet"));
  CHECK_FALSE(known.at("cleaning-overdue"));
  CHECK_FALSE(known.at("idle-week"));
}

TEST_CASE("a full waste box or a worn drum is not taken for a supply that pages go pale without") {
  DeviceNow device;
  device.heard = true;
  device.supplies = {{SupplyType::toner_cartridge, false, 60.0},
                     {SupplyType::waste_toner, true, 7.0},
                     {SupplyType::opc, true, 2.0},
                     {SupplyType::staples, true, 0.0}};
  CHECK_FALSE(known_of(device, kNow).at("supply-low"));
  device.supplies[0].low = true;
  CHECK(known_of(device, kNow).at("supply-low"));
  device.supplies[0].type = SupplyType::matte_toner;
  CHECK(known_of(device, kNow).at("supply-low"));
}

TEST_CASE("a device that says of no supply how much is left has none that is known to be low, nor not to be") {
  DeviceNow device;
  device.heard = true;
  device.supplies = {{SupplyType::toner, false, {}}, {SupplyType::waste_toner, false, 90.0}};
  CHECK_FALSE(known_of(device, kNow).contains("supply-low"));
  device.supplies.push_back({SupplyType::toner, false, 40.0});
  CHECK_FALSE(known_of(device, kNow).at("supply-low"));
}

TEST_CASE("a life part that the device does not count is not known to be near its end, nor not to be") {
  DeviceNow device;
  device.heard = true;
  device.supplies = {{SupplyType::opc, false, {}}};
  CHECK_FALSE(known_of(device, kNow).contains("drum-near-end"));
}

TEST_CASE("a week without a page and a cartridge of three days are told") {
  DeviceOutlook outlook;
  outlook.seen = kNow;
  outlook.printed_at = kNow - 24h * 7;
  DeviceNow device;
  device.heard = true;
  device.outlook = &outlook;
  device.replaced_at = kNow - 24h * 3;
  CHECK(known_of(device, kNow).at("idle-week"));
  CHECK(known_of(device, kNow).at("supply-new"));
  outlook.printed_at = kNow - 24h * 7 + 1s;
  device.replaced_at = kNow - 24h * 3 - 1s;
  CHECK_FALSE(known_of(device, kNow).at("idle-week"));
  CHECK_FALSE(known_of(device, kNow).at("supply-new"));
}

TEST_CASE("ink makes an inkjet") {
  CHECK(is_inkjet(std::vector<SupplyNow>{{SupplyType::waste_toner}, {SupplyType::ink_cartridge}}));
  CHECK_FALSE(is_inkjet(std::vector<SupplyNow>{{SupplyType::toner}}));
}
