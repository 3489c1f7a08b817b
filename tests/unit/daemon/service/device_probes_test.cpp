#include "daemon/service/device_probes.h"

#include <catch2/catch.hpp>
#include <deque>

#include "pending.h"

namespace {

namespace asio = boost::asio;
using namespace frisket::service;
using frisket::model::DeviceReading;
using frisket::model::DeviceSnapshot;
using frisket::model::Reach;
using Snapshot = std::shared_ptr<const DeviceSnapshot>;

// Says what it is told, the last word again and again.
struct Told {
  Reach reach = Reach::answered;
  Snapshot snapshot = std::make_shared<DeviceSnapshot>();
};

struct FakeProbe final : Probe {
  explicit FakeProbe(Told& told) : told_(told) {}
  asio::awaitable<DeviceReading> poll() override {
    DeviceReading reading{"fern", {}, told_.reach, "", nullptr};
    if (told_.reach == Reach::answered)
      reading.snapshot = told_.snapshot;
    else
      reading.detail = "no answer";
    co_return reading;
  }
  Told& told_;
};

Snapshot named(std::string name, std::string location = "") {
  DeviceSnapshot made;
  made.system.name = std::move(name);
  made.system.location = std::move(location);
  return std::make_shared<const DeviceSnapshot>(std::move(made));
}

struct World {
  asio::io_context context;
  Told snmp;
  Told ipp;
  BothWays both{std::make_unique<FakeProbe>(snmp), std::make_unique<FakeProbe>(ipp), 3};

  DeviceReading poll() {
    frisket::testing::Pending<DeviceReading> reading(context, both.poll());
    return reading.get();
  }
};

}  // namespace

TEST_CASE("a device that says the same again gives the same snapshot again") {
  asio::io_context context;
  Told told{Reach::answered, named("fern")};
  SameAgain probe(std::make_unique<FakeProbe>(told));
  const auto poll = [&] { return frisket::testing::Pending<DeviceReading>(context, probe.poll()).get(); };
  const auto first = poll();
  told.snapshot = named("fern");
  CHECK(poll().snapshot == first.snapshot);
  told.snapshot = named("moss");
  const auto other = poll();
  CHECK(other.snapshot != first.snapshot);
  told.reach = Reach::silent;
  CHECK_FALSE(poll().snapshot);
  told.reach = Reach::answered;
  CHECK(poll().snapshot == other.snapshot);
}

TEST_CASE("a device seen both ways is one device, and stands still while neither says anything new") {
  World world;
  world.snmp.snapshot = named("fern");
  world.ipp.snapshot = named("", "Herbarium");
  const auto first = world.poll();
  REQUIRE(first.reach == Reach::answered);
  CHECK(first.snapshot->system.name == "fern");
  CHECK(first.snapshot->system.location == "Herbarium");
  CHECK(world.poll().snapshot == first.snapshot);
  world.ipp.snapshot = named("", "Palm house");
  CHECK(world.poll().snapshot->system.location == "Palm house");
}

TEST_CASE("one lost datagram is a missed poll, and no reason to see the device otherwise") {
  World world;
  world.snmp.snapshot = named("fern");
  world.ipp.snapshot = named("ipp");
  world.poll();
  world.snmp.reach = Reach::silent;
  CHECK(world.poll().reach == Reach::silent);
  CHECK(world.poll().reach == Reach::silent);
  // Now it is not chance any more, and the other witness speaks for the device.
  const auto alone = world.poll();
  REQUIRE(alone.reach == Reach::answered);
  CHECK(alone.snapshot->system.name == "ipp");
  CHECK(alone.snapshot->gaps == std::vector<std::string>{"SNMP: no answer"});
  CHECK(world.poll().snapshot == alone.snapshot);
  world.snmp.reach = Reach::answered;
  const auto again = world.poll();
  CHECK(again.snapshot->system.name == "fern");
  CHECK(again.snapshot->gaps.empty());
}

TEST_CASE("what the second witness filled stays for as long as its silence may be chance") {
  World world;
  world.snmp.snapshot = named("fern");
  world.ipp.snapshot = named("", "Herbarium");
  const auto first = world.poll();
  world.ipp.reach = Reach::silent;
  CHECK(world.poll().snapshot == first.snapshot);
  CHECK(world.poll().snapshot == first.snapshot);
  const auto later = world.poll();
  CHECK(later.reach == Reach::answered);
  CHECK(later.snapshot->system.location.empty());
  world.ipp.reach = Reach::answered;
  CHECK(world.poll().snapshot->system.location == "Herbarium");
}

TEST_CASE("a device that neither way reaches has missed the poll as the first way tells it") {
  World world;
  world.snmp.reach = Reach::wrong_key;
  world.ipp.reach = Reach::silent;
  for (int i = 0; i < 5; ++i) CHECK(world.poll().reach == Reach::wrong_key);
}
