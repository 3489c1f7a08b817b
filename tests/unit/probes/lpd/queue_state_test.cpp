#include "probes/lpd/queue_state.h"

#include <catch2/catch.hpp>

#include "answers.h"
#include "server.h"
#include "simulated_clock.h"

namespace frisket::lpd {
namespace {

using namespace std::chrono_literals;
using frisket::testing::LpdServer;
using frisket::testing::Pending;
using frisket::testing::run_until;
using frisket::testing::SimulatedClock;
using model::LpdReading;
using model::QueueReach;
using testing::kBrief;
using Then = LpdServer::Behaviour::Then;

// Simulated time, real sockets.
struct Fixture {
  Pending<LpdReading> read(std::uint16_t port, Form form = Form::brief, Limits limits = {}) {
    auto target = target_of("127.0.0.1", port, "fern");
    REQUIRE(target);
    return {context, read_queue_state(clock, *target, form, limits)};
  }
  LpdReading read_from(LpdServer::Behaviour behaviour, Limits limits = {}) {
    LpdServer server(context, std::move(behaviour));
    auto pending = read(server.port(), Form::brief, limits);
    return pending.get();
  }
  ~Fixture() { clock.advance(120s); }  // whoever still sleeps wakes before the clock is gone

  boost::asio::io_context context;
  SimulatedClock clock{context};
};

std::vector<std::string> in_pieces(const std::string& text, std::size_t length) {
  std::vector<std::string> pieces;
  for (std::size_t i = 0; i < text.size(); i += length) pieces.push_back(text.substr(i, length));
  return pieces;
}

}  // namespace

// RFC 1179 sections 3.1, 5.3 and 5.4.
TEST_CASE("the question is one octet, the queue and a line feed, on a connection of its own") {
  Fixture f;
  LpdServer server(f.context, {{"no entries\n"}});
  CHECK(f.read(server.port(), Form::brief).get().reach == QueueReach::answered);
  CHECK(f.read(server.port(), Form::full).get().reach == QueueReach::answered);
  CHECK(server.seen().questions == std::vector<std::string>{"\3fern\n", "\4fern\n"});
  CHECK(server.seen().connections == 2);
}

TEST_CASE("a queue that cannot be one operand of the command is no target") {
  const std::vector<std::string> bad = {"",       "fern moss",          "fern\n", "\1fern", "f\xC3\xA9rn",
                                        "fern\t", std::string(128, 'f')};
  for (const auto& queue : bad) CHECK_FALSE(target_of("127.0.0.1", 515, queue));
  CHECK_FALSE(target_of("", 515, "fern"));
  CHECK_FALSE(target_of("127.0.0.1", 0, "fern"));
  const auto good = target_of("127.0.0.1", kPort, std::string(127, 'f'));
  REQUIRE(good);
  CHECK(good->port == 515);
}

TEST_CASE("an answer is the same in one piece and in pieces of any length") {
  for (const std::size_t length : {1, 2, 3, 17, 5000}) {
    Fixture f;
    const auto reading = f.read_from({in_pieces(kBrief, length)});
    CHECK(reading.reach == QueueReach::answered);
    CHECK(reading.queue == "fern");
    CHECK(reading.at == f.clock.wall_now());
    CHECK(reading.jobs_listed == 6);
    CHECK(reading.personal.lines.size() == 8);
  }
}

TEST_CASE("a server that listens and says nothing is silent after the silence allowed, and is left") {
  Fixture f;
  LpdServer server(f.context, {{}, Then::stay_mute});
  auto pending = f.read(server.port());
  run_until(f.context, [&] { return !server.seen().questions.empty(); });
  f.clock.advance(7'999ms);
  CHECK_FALSE(pending.done());
  f.clock.advance(1ms);
  CHECK(pending.get().reach == QueueReach::silent);
  CHECK(pending.get().detail == "no answer in time");
  run_until(f.context, [&] { return server.seen().ended == 1; });
}

TEST_CASE("half an answer is no answer: its jobs are not counted") {
  Fixture f;
  LpdServer server(f.context, {{kBrief.substr(0, 200)}, Then::stay_mute});
  auto pending = f.read(server.port());
  run_until(f.context, [&] { return server.seen().written == 200; });
  f.clock.settle();
  f.clock.advance(20s);
  CHECK(pending.get().reach == QueueReach::silent);
  CHECK(pending.get().detail == "its answer came to a halt");
  CHECK(pending.get().jobs_listed == std::nullopt);
  CHECK(pending.get().personal.lines.empty());
}

TEST_CASE("an answer without end is nonsense at its bound, and one that drips is given up at the last deadline") {
  {
    Fixture f;
    Limits limits;
    limits.octets = 10'000;
    LpdServer server(f.context, {{kBrief}, Then::go_on});
    auto pending = f.read(server.port(), Form::brief, limits);
    CHECK(pending.get().reach == QueueReach::nonsense);
    CHECK(pending.get().detail == "its answer is too long");
    run_until(f.context, [&] { return server.seen().ended == 1; });
  }
  Fixture f;
  // A line every five seconds, by a server of the test's own clock.
  boost::asio::ip::tcp::acceptor acceptor(f.context, {boost::asio::ip::address_v4::loopback(), 0});
  auto pending = f.read(acceptor.local_endpoint().port());
  boost::asio::ip::tcp::socket socket(f.context);
  bool there = false;
  acceptor.async_accept(socket, [&](boost::system::error_code) { there = true; });
  run_until(f.context, [&] { return there; });
  socket.set_option(boost::asio::ip::tcp::no_delay(true));  // what is written is there at once
  int lines = 0;
  while (!pending.done() && lines < 20) {
    boost::system::error_code gone;
    boost::asio::write(socket, boost::asio::buffer(std::string("1st moss 7 list.txt 12 bytes\n")), gone);
    ++lines;
    f.clock.settle();
    f.clock.advance(5s);
  }
  CHECK(pending.get().reach == QueueReach::silent);
  CHECK(lines == 6);  // 30 s
}

TEST_CASE("nobody there, a connection that ends at once and one that breaks off are silence with different words") {
  Fixture f;
  std::uint16_t dead = 0;
  {
    LpdServer gone(f.context, {});
    dead = gone.port();
  }
  f.clock.settle();
  const auto nobody = f.read(dead).get();
  CHECK(nobody.reach == QueueReach::silent);
  CHECK(nobody.detail == "Connection refused");
  const auto empty = f.read_from({});
  CHECK(empty.reach == QueueReach::silent);
  CHECK(empty.detail == "the connection was closed without an answer");
  const auto broken = f.read_from({{"fern is ready\n"}, Then::reset});
  CHECK(broken.reach == QueueReach::silent);
  CHECK(broken.detail == "the connection broke off: Connection reset by peer");
}

TEST_CASE("a server that refuses, knows no such queue or sends octets at random is told apart") {
  Fixture f;
  CHECK(f.read_from({{"fernhouse: Your host does not have line printer access\n"}}).reach == QueueReach::refused);
  CHECK(f.read_from({{"lpd: fern: unknown printer\n"}}).reach == QueueReach::absent);
  std::string garbage;
  for (int i = 0; i < 9000; ++i) garbage += static_cast<char>(i * 7919 >> 3);
  CHECK(f.read_from({{garbage}}).reach == QueueReach::nonsense);
}

TEST_CASE("a name that nobody knows is silence, not an exception") {
  Fixture f;
  auto target = target_of("no-such-host.invalid", kPort, "fern");  // RFC 2606 section 2: never exists
  REQUIRE(target);
  Pending<LpdReading> pending(f.context, read_queue_state(f.clock, *target, Form::brief));
  f.clock.settle();
  f.clock.advance(4s);
  CHECK(pending.get().reach == QueueReach::silent);
  CHECK(pending.get().detail.starts_with("the name cannot be resolved"));
}

TEST_CASE("every prefix of an answer that ends there gives a reading") {
  Fixture f;
  for (std::size_t length = 0; length <= kBrief.size(); length += 13) {
    const auto reading = f.read_from({{kBrief.substr(0, length)}});
    CHECK(reading.reach == (length == 0 ? QueueReach::silent : QueueReach::answered));
    CHECK(reading.jobs_listed.value_or(0) <= 6);
  }
}

}  // namespace frisket::lpd
