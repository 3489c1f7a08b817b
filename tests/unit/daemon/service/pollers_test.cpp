#include "daemon/service/pollers.h"

#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <chrono>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "simulated_clock.h"

namespace asio = boost::asio;
using namespace std::chrono_literals;
using frisket::model::DeviceReading;
using frisket::model::Reach;
using frisket::service::Pollers;

namespace {

// A small world: a simulated clock, devices whose polls take as long as the test says,
// and a record of what was polled when.
struct World {
  struct FakeProbe final : frisket::service::Probe {
    FakeProbe(World& world, std::string name) : world_(world), name_(std::move(name)) {}

    asio::awaitable<DeviceReading> poll() override {
      world_.polls[name_].push_back(world_.now());
      if (world_.breaks == name_) throw std::runtime_error("broken probe");
      co_await world_.clock.sleep_until(world_.clock.steady_now() + world_.takes[name_]);
      co_return DeviceReading{name_, world_.clock.wall_now(), world_.reach[name_], "", nullptr};
    }

    World& world_;
    std::string name_;
  };

  World() { config.credentials.push_back({"read", frisket::config::SnmpVersion::v2c, "public"}); }
  ~World() {
    pollers.stop();
    clock.advance(1h);
    CHECK(pollers.running() == 0);
  }

  void add(const std::string& name, std::chrono::seconds interval = 30s) {
    frisket::config::Device device;
    device.name = name;
    device.credentials = {"read"};
    device.poll_interval = interval;
    config.devices.push_back(device);
  }

  std::chrono::milliseconds now() const {
    return std::chrono::duration_cast<std::chrono::milliseconds>(clock.steady_now() - frisket::model::SteadyTime{});
  }

  asio::io_context context;
  frisket::testing::SimulatedClock clock{context};
  std::map<std::string, std::chrono::milliseconds> takes;
  std::map<std::string, Reach> reach;  // answered unless the test says otherwise
  std::string breaks;
  std::map<std::string, std::vector<std::chrono::milliseconds>> polls;
  std::vector<DeviceReading> readings;
  frisket::service::Pace pace = frisket::service::Pace::usual;
  frisket::config::Config config;
  Pollers pollers{context.get_executor(), clock,
                  [this](const frisket::config::Device& device, const frisket::config::Credentials&,
                         const frisket::config::Config&) { return std::make_unique<FakeProbe>(*this, device.name); },
                  [this](const DeviceReading& reading) {
                    readings.push_back(reading);
                    return pace;
                  }};
};

}  // namespace

TEST_CASE("a device is polled at start and then once in each interval") {
  World world;
  world.add("herbarium");
  world.pollers.configure(world.config);
  world.clock.advance(10min);
  const auto& polls = world.polls["herbarium"];
  REQUIRE(polls.size() >= 20);
  REQUIRE(polls.size() <= 21);
  CHECK(polls[0] == 0ms);
  for (std::size_t i = 2; i < polls.size(); ++i) CHECK(polls[i] - polls[i - 1] == 30s);
  CHECK(world.pollers.counters().finished == polls.size());
  CHECK(world.pollers.counters().late == 0);
}

TEST_CASE("a device is asked more often while something is wrong, and less often once it is silent") {
  World world;
  world.add("herbarium", 60s);
  world.config.devices[0].attention_interval = 15s;
  world.config.devices[0].silent_interval = 240s;
  world.pollers.configure(world.config);
  const auto polls_in = [&](std::chrono::minutes span) {
    const auto before = world.polls["herbarium"].size();
    world.clock.advance(span);
    return world.polls["herbarium"].size() - before;
  };
  polls_in(1min);
  CHECK(polls_in(12min) == 12);
  world.pace = frisket::service::Pace::attention;
  polls_in(1min);
  CHECK(polls_in(12min) == 48);
  world.pace = frisket::service::Pace::silent;
  polls_in(10min);
  CHECK(polls_in(12min) == 3);
  CHECK(world.pollers.counters().late == 0);
}

TEST_CASE("a slow device never delays another") {
  World world;
  world.add("slow");
  world.add("quick");
  world.takes["slow"] = 25s;
  world.pollers.configure(world.config);
  world.clock.advance(10min);
  const auto& polls = world.polls["quick"];
  REQUIRE(polls.size() >= 20);
  for (std::size_t i = 2; i < polls.size(); ++i) CHECK(polls[i] - polls[i - 1] == 30s);
}

TEST_CASE("a poll that takes longer than the interval is never run twice at once") {
  World world;
  world.add("slower");
  world.takes["slower"] = 70s;
  world.pollers.configure(world.config);
  world.clock.advance(15min);
  const auto& polls = world.polls["slower"];
  REQUIRE(polls.size() > 5);
  for (std::size_t i = 1; i < polls.size(); ++i) CHECK(polls[i] - polls[i - 1] >= 70s);
}

TEST_CASE("a device that is asked for soon is polled at once, and the beat goes on") {
  World world;
  world.add("herbarium", 60s);
  world.pollers.configure(world.config);
  world.clock.advance(5min);
  const auto before = world.polls["herbarium"].size();
  const auto at = world.now();
  CHECK(world.pollers.poll_soon("herbarium"));
  world.clock.settle();
  REQUIRE(world.polls["herbarium"].size() == before + 1);
  CHECK(world.polls["herbarium"].back() == at);
  CHECK_FALSE(world.pollers.poll_soon("nobody"));
}

TEST_CASE("a request for a poll that comes during one is served right after it") {
  World world;
  world.add("herbarium", 60s);
  world.takes["herbarium"] = 5s;
  world.pollers.configure(world.config);
  world.clock.advance(1s);
  CHECK(world.pollers.poll_soon("herbarium"));
  world.clock.advance(5s);
  REQUIRE(world.polls["herbarium"].size() == 2);
  CHECK(world.polls["herbarium"][1] == 5s);
}

TEST_CASE("a reload leaves unchanged devices alone and drops the reading of one that is gone") {
  World world;
  world.add("stays");
  world.add("goes");
  world.takes["goes"] = 10s;
  world.pollers.configure(world.config);
  world.clock.advance(1s);
  const auto stays = world.polls["stays"].size();

  auto next = world.config;
  next.devices.pop_back();
  world.pollers.configure(next);
  CHECK(world.polls["stays"].size() == stays);
  world.clock.advance(1min);
  for (const auto& reading : world.readings) CHECK(reading.device != "goes");
  CHECK(world.polls["goes"].size() == 1);
}

TEST_CASE("a changed community restarts the devices that use it") {
  World world;
  world.add("herbarium");
  world.pollers.configure(world.config);
  world.clock.advance(1s);
  REQUIRE(world.polls["herbarium"].size() == 1);
  world.config.credentials[0].community = "other";
  world.pollers.configure(world.config);
  world.clock.settle();
  CHECK(world.polls["herbarium"].size() == 2);
}

TEST_CASE("missed polls are counted") {
  World world;
  world.add("dead");
  world.reach["dead"] = Reach::silent;
  world.pollers.configure(world.config);
  world.clock.advance(95s);
  CHECK(world.pollers.counters().missed == world.pollers.counters().finished);
  CHECK(world.pollers.counters().missed >= 3);
}

TEST_CASE("a probe that throws ends its own task and no other") {
  World world;
  world.add("broken");
  world.add("sound");
  world.breaks = "broken";
  world.pollers.configure(world.config);
  world.clock.advance(5min);
  CHECK(world.polls["broken"].size() == 1);
  CHECK(world.polls["sound"].size() >= 10);
}

TEST_CASE("five thousand devices are polled for a simulated hour without a late poll") {
  World world;
  for (int i = 0; i < 5000; ++i) world.add("device-" + std::to_string(i), 5min);
  world.pollers.configure(world.config);
  world.clock.advance(1h);
  CHECK(world.pollers.counters().finished >= 5000 * 12);
  CHECK(world.pollers.counters().late == 0);
}
