#include "daemon/service/queue_pollers.h"

#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <map>

#include "simulated_clock.h"

namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;
using namespace frisket;
using namespace frisket::service;

struct World {
  template <class Reading>
  struct Asker final : ProbeFor<Reading> {
    Asker(World& of, std::string called) : world(of), name(std::move(called)) {}
    asio::awaitable<Reading> poll() override {
      ++world.polls[name];
      Reading reading;
      if constexpr (std::is_same_v<Reading, model::QueueReading>)
        reading.queue = name;
      else
        reading.spooler = name;
      reading.reach = world.reach;
      co_return reading;
    }
    World& world;
    std::string name;
  };

  World() {
    config::Spooler spooler;
    spooler.name = "office";
    spooler.target = model::ipp_target_of("ipp://print.example.org/").value();
    config.spoolers = {spooler};
    add("behind", "ipp://print.example.org/printers/behind");
    add("office", "ipp://palm.example.org/ipp/print");  // a queue may be called as a spooler is
  }
  ~World() {
    pollers.stop();
    clock.advance(1h);
    CHECK(pollers.running() == 0);
  }

  void add(const std::string& name, const std::string& uri) {
    config::Queue queue;
    queue.name = name;
    queue.target = model::ipp_target_of(uri).value();
    config.queues.push_back(queue);
  }

  asio::io_context context;
  testing::SimulatedClock clock{context};
  config::Config config;
  model::QueueReach reach = model::QueueReach::answered;
  std::map<std::string, int> polls;
  std::map<std::string, int> taken;
  QueuePollers pollers{context.get_executor(),
                       clock,
                       {[this](const config::Queue& queue) {
                          return std::make_unique<Asker<model::QueueReading>>(*this, "queue " + queue.name);
                        },
                        [this](const config::Spooler& spooler) {
                          return std::make_unique<Asker<model::SpoolerReading>>(*this, "spooler " + spooler.name);
                        }},
                       {[this](const model::QueueReading& reading) { ++taken[reading.queue]; },
                        [this](const model::SpoolerReading& reading) { ++taken[reading.spooler]; }}};
};

}  // namespace

TEST_CASE("a spooler is one task, however many queues are behind it; a queue of its own is another") {
  World world;
  world.pollers.configure(world.config);
  world.clock.advance(10min);
  CHECK(world.pollers.running() == 2);
  CHECK(world.polls.size() == 2);
  CHECK(world.polls["spooler office"] >= 20);
  CHECK(world.polls["queue office"] >= 20);
  CHECK(world.taken["spooler office"] == world.polls["spooler office"]);
  CHECK(world.pollers.counters().missed == 0);
}

TEST_CASE("asking soon for a queue behind a spooler asks the spooler") {
  World world;
  world.pollers.configure(world.config);
  world.clock.advance(1s);
  const auto before = world.polls["spooler office"];
  CHECK(world.pollers.poll_soon("behind", "office"));
  world.clock.advance(1s);
  CHECK(world.polls["spooler office"] == before + 1);
  CHECK(world.pollers.poll_soon("office", ""));
  CHECK_FALSE(world.pollers.poll_soon("nobody", ""));
  CHECK_FALSE(world.pollers.poll_soon("behind", "nobody"));
}

TEST_CASE("a new configuration starts what is new, ends what is gone, and leaves the rest alone") {
  World world;
  world.pollers.configure(world.config);
  world.clock.advance(1s);
  world.pollers.configure(world.config);
  world.clock.advance(1s);
  CHECK(world.polls["spooler office"] == 1);
  world.config.queues.pop_back();
  world.config.spoolers[0].poll_interval = 10s;
  world.pollers.configure(world.config);
  world.clock.advance(1min);
  CHECK(world.polls["queue office"] == 1);
  CHECK(world.polls["spooler office"] >= 6);
  CHECK(world.pollers.running() == 1);
}

TEST_CASE("an absent queue has answered, a silent one has not") {
  World world;
  world.config.spoolers.clear();
  world.config.queues.resize(1);
  world.reach = model::QueueReach::absent;
  world.pollers.configure(world.config);
  world.clock.advance(1min);
  CHECK(world.pollers.counters().missed == 0);
  world.reach = model::QueueReach::silent;
  world.clock.advance(1min);
  CHECK(world.pollers.counters().missed == 2);
}
