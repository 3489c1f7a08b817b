#include "daemon/upkeep/fleet_reliability.h"

#include <catch2/catch.hpp>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;

namespace {

const WallTime kNow = at("2026-03-02T08:00:00Z");

Outlook fleet(double sheets, int devices = 4) {
  Outlook outlook;
  for (int i = 0; i < devices; ++i) {
    auto device = std::make_shared<DeviceOutlook>();
    device->name = std::string(1, static_cast<char>('a' + i));
    device->lately = sheets;
    outlook.devices[device->name] = device;
  }
  return outlook;
}

std::vector<PastIncident> jams(const std::string& device, int count) {
  std::vector<PastIncident> found;
  for (int i = 0; i < count; ++i)
    found.push_back({device, "media-jam", true, kNow - 24h * (i + 1), kNow - 24h * (i + 1) + 1h});
  return found;
}

}  // namespace

TEST_CASE("a device that jams much more than the rest is named, and its limits are Garwood's") {
  auto incidents = jams("a", 20);
  const auto more = jams("b", 1);
  incidents.insert(incidents.end(), more.begin(), more.end());
  const auto found = fleet_reliability(fleet(10000), incidents, kNow);
  const auto& bad = found.devices.at("a");
  CHECK(bad.jams == 20);
  REQUIRE(bad.jam);
  CHECK(bad.jam->worse);
  // Garwood 1936, table: 20 events, 95 %: 12.217 to 30.888.
  CHECK(bad.jam->rate.limits.low == Approx(12.217).epsilon(1e-4));
  CHECK(bad.jam->rate.limits.high == Approx(30.888).epsilon(1e-4));
  CHECK_FALSE(found.devices.at("b").jam->worse);
  CHECK(found.devices.at("c").jams == 0);
}

TEST_CASE("what lies before the window does not count, and without sheets there is no rate") {
  auto incidents = jams("a", 3);
  incidents.push_back({"a", "media-jam", true, kNow - kLately - 2h, kNow - kLately - 1h});
  incidents.push_back({"b", "media-jam", true, kNow - kLately - 2h, kNow - kLately + 1h});
  const auto found = fleet_reliability(fleet(0), incidents, kNow);
  CHECK(found.devices.at("b").jams == 0);
  CHECK(found.devices.at("a").jams == 3);
  CHECK_FALSE(found.devices.at("a").jam);
}

TEST_CASE("availability is the share of the observed time without a critical incident") {
  const auto found = fleet_reliability(fleet(100, 1), jams("a", 3), kNow);
  const auto& availability = found.devices.at("a").availability;
  REQUIRE(availability.share);
  CHECK(*availability.share == Approx(1 - 3.0 / (24 * 90)));
  REQUIRE(found.kinds.size() == 1);
  CHECK(found.kinds[0].kind == "media-jam");
  CHECK(found.kinds[0].figures.mean_repair == std::chrono::milliseconds(1h));
}

TEST_CASE("a device that broke before the window and is broken still was never available") {
  const std::vector<PastIncident> incidents{{"a", "device-stopped", true, kNow - kLately - 24h, {}}};
  const auto found = fleet_reliability(fleet(100), incidents, kNow);
  CHECK(found.devices.at("a").availability.share == 0.0);
  CHECK(found.devices.at("b").availability.share == 1.0);
  REQUIRE(found.kinds.size() == 1);
  CHECK(found.kinds[0].figures.incidents == 0);
}

TEST_CASE("of an incident that was over within the window, the part within it counts") {
  const auto begin = kNow - kLately;
  const auto found = fleet_reliability(
      fleet(100, 1), std::vector<PastIncident>{{"a", "device-stopped", true, begin - 48h, begin + 9h}}, kNow);
  CHECK(found.devices.at("a").availability.down == 9h);
}

TEST_CASE("a kind of incident that only devices no longer watched have had is not told") {
  const auto found = fleet_reliability(fleet(100, 1), jams("gone", 2), kNow);
  CHECK(found.kinds.empty());
}

TEST_CASE("an hour of four devices is four hours between incidents") {
  const auto found = fleet_reliability(fleet(100, 4), jams("a", 2), kNow);
  REQUIRE(found.kinds.size() == 1);
  CHECK(found.kinds[0].figures.mean_between == Milliseconds(4 * kLately - 2h) / 2);
}

TEST_CASE("a device's jams are told by the place where they were, the most first") {
  auto incidents = jams("a", 4);
  incidents[0].place = incidents[2].place = "Tray 2";
  incidents[1].place = "Duplex unit";
  incidents.push_back({"a", "toner-empty", true, kNow - 1h, {}, "Tray 2"});
  const auto found = fleet_reliability(fleet(100), incidents, kNow);
  CHECK(found.devices.at("a").places == std::vector<PlaceJams>{{"Tray 2", 2}, {"", 1}, {"Duplex unit", 1}});
  CHECK(found.devices.at("b").places.empty());
}

TEST_CASE("a model's devices count together, and against the other models") {
  auto outlook = fleet(10000, 5);
  const auto is = [&](const std::string& name, const std::string& model) {
    auto device = std::make_shared<DeviceOutlook>(*outlook.devices.at(name));
    device->identity.maker = "Quillon";
    device->identity.model = model;
    outlook.devices[name] = device;
  };
  is("a", "LX 4100");
  is("b", "LX 4100");
  is("c", "LX 200");
  is("d", "LX 200");  // and nothing is known of e
  auto incidents = jams("a", 10);
  for (const auto* name : {"b", "b"})
    for (auto& jam : jams(name, 5)) incidents.push_back(jam);
  const auto models = fleet_reliability(outlook, incidents, kNow).models;
  REQUIRE(models.size() == 2);
  CHECK(models[0].model == "LX 200");
  CHECK(models[0].jams == 0);
  CHECK(models[1].model == "LX 4100");
  CHECK(models[1].devices == 2);
  CHECK(models[1].jams == 20);
  CHECK(models[1].sheets == 20000);
  REQUIRE(models[1].jam);
  CHECK(models[1].jam->worse);
  CHECK(models[1].jam->rate.value == Approx(10));
  // Garwood 1936, table: 20 events, 95 %: 12.217 to 30.888; over two times 10,000 sheets.
  CHECK(models[1].jam->rate.limits.high == Approx(30.888 / 2).epsilon(1e-4));
  CHECK(models[0].jam->better);
}
