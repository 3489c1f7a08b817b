// Server-sent events as WHATWG HTML section 9.2 has them, over raw sockets.
#include "peer.h"

using namespace frisket;
using namespace frisket::testing;
using model::Severity;

namespace {

std::size_t count_of(const std::string& text, const std::string& what) {
  std::size_t count = 0;
  for (auto place = text.find(what); place != text.npos; place = text.find(what, place + 1)) ++count;
  return count;
}

Peer& follower(ServedGarden& garden, const std::string& last_event_id = "") {
  auto& peer = garden.reading_peer();
  peer.send(get("/v1/events", last_event_id.empty() ? "" : "Last-Event-ID: " + last_event_id + "\r\n"));
  REQUIRE(garden.until([&] { return peer.received.find("retry: 2000\n") != std::string::npos; }));
  return peer;
}

void raise(ServedGarden& garden, const std::string& id, std::size_t summary = 10) {
  auto made = incident(id, Severity::warning);
  made.summary = std::string(summary, 's');
  garden.board.publish_transition(raised(made));
}

}  // namespace

TEST_CASE("every reader gets each event once and in order") {
  ServedGarden garden;
  auto& one = follower(garden);
  auto& other = follower(garden);
  for (int i = 1; i <= 100; ++i) raise(garden, std::to_string(i));
  const auto events = garden.board.events().after(1, 1U << 30U)->text;
  for (auto* peer : {&one, &other}) {
    CHECK(garden.until([&] { return peer->received.ends_with(events); }));
    CHECK(count_of(peer->received, "event: notice\n") == 100);
  }
  CHECK(garden.server->counters().event_streams == 2);
}

TEST_CASE("a reader that comes back goes on where it was") {
  ServedGarden garden;
  auto& peer = follower(garden);
  raise(garden, "1");
  REQUIRE(garden.until([&] { return count_of(peer.received, "event: notice\n") == 1; }));
  peer.hang_up();
  CHECK(garden.until([&] { return garden.server->counters().event_streams == 0; }));
  raise(garden, "2");
  raise(garden, "3");
  auto& again = follower(garden, "run-2");
  const auto missed = garden.board.events().after(2, 1U << 20U)->text;
  CHECK(garden.until([&] { return again.received.ends_with("id: run-2\n\n" + missed); }));
}

TEST_CASE("a reader that comes back too late is told of the gap and goes on from now") {
  http::FleetBoard::Bounds bounds;
  bounds.events.events = 2;
  ServedGarden garden({}, bounds);
  for (int i = 1; i <= 5; ++i) raise(garden, std::to_string(i));
  auto& peer = follower(garden, "run-2");
  CHECK(garden.until([&] { return peer.received.find("id: run-6\nevent: gap\n") != std::string::npos; }));
  raise(garden, "6");
  CHECK(garden.until([&] { return count_of(peer.received, "event: notice\n") == 1; }));
}

TEST_CASE("a stream where nothing happens carries a comment every 15 seconds") {
  ServedGarden garden;
  auto& peer = follower(garden);
  const auto comments = [&] { return count_of(peer.received, "\n: nothing new\n\n"); };
  garden.clock.advance(14s);
  garden.clock.settle();
  CHECK(comments() == 0);
  CHECK(garden.passes_until([&] { return comments() == 1; }, 2s));
  CHECK(garden.passes_until([&] { return comments() == 4; }, 46s));
  CHECK_FALSE(peer.closed);
}

TEST_CASE("a stream lives longer than any deadline of requests") {
  ServedGarden garden;
  auto& peer = follower(garden);
  for (int i = 0; i < 60; ++i) {
    garden.clock.advance(10s);
    garden.clock.settle();
  }
  CHECK_FALSE(peer.closed);
  raise(garden, "1");
  CHECK(garden.until([&] { return count_of(peer.received, "event: notice\n") == 1; }));
}

TEST_CASE("a reader that takes nothing is dropped when its time is over, and others get everything meanwhile") {
  http::Options options;
  options.send_buffer = 4096;
  http::FleetBoard::Bounds bounds;
  bounds.events.bytes = 64U << 20U;
  ServedGarden garden(options, bounds);
  auto& stalled = garden.peer(2048);
  stalled.send(get("/v1/events"));
  REQUIRE(garden.until([&] { return garden.server->counters().event_streams == 1; }));
  auto& good = follower(garden);

  for (int i = 1; i <= 300; ++i) raise(garden, std::to_string(i), 10000);
  CHECK(garden.until([&] { return count_of(good.received, "event: notice\n") == 300; }));
  CHECK(garden.server->counters().event_streams == 2);

  const auto passed = garden.passes_until([&] { return garden.server->counters().event_streams == 1; }, 60s);
  REQUIRE(passed);
  CHECK(*passed >= 19s);
  CHECK(*passed <= 40s);  // not exact: the kernel's buffers may take a little more in real time, which counts anew
  CHECK(garden.server->counters().readers_dropped == 1);
  raise(garden, "last");
  CHECK(garden.until([&] { return count_of(good.received, "event: notice\n") == 301; }));
}

TEST_CASE("a reader that falls behind what is kept is dropped, and gets only whole events in order before") {
  http::Options options;
  options.send_buffer = 4096;
  options.event_batch = 20000;
  http::FleetBoard::Bounds bounds;
  bounds.events.events = 4;
  ServedGarden garden(options, bounds);
  auto& slow = garden.peer(2048);
  slow.send(get("/v1/events"));
  REQUIRE(garden.until([&] { return garden.server->counters().event_streams == 1; }));
  for (int i = 1; i <= 200; ++i) {
    raise(garden, std::to_string(i), 10000);
    garden.clock.settle();
  }
  slow.read();
  CHECK(garden.until([&] { return slow.closed; }));
  CHECK(garden.server->counters().readers_dropped == 1);
  const auto events = count_of(slow.received, "event: notice\n");
  CHECK(events < 200);
  for (std::size_t i = 1; i <= events; ++i)
    CHECK(count_of(slow.received, "id: run-" + std::to_string(i + 1) + "\nevent: notice\n") == 1);
}

TEST_CASE("a reader that hangs up, or says anything, ends its stream at once") {
  ServedGarden garden;
  auto& quiet = follower(garden);
  auto& talker = follower(garden);
  quiet.hang_up();
  CHECK(garden.until([&] { return garden.server->counters().event_streams == 1; }));
  talker.send(get("/v1/health"));
  CHECK(garden.until([&] { return garden.server->counters().event_streams == 0 && talker.closed; }));
}

TEST_CASE("above the limit of event streams the next reader gets 503, other requests do not") {
  http::Options options;
  options.event_streams = 2;
  ServedGarden garden(options);
  follower(garden);
  auto& second = follower(garden);
  CHECK(garden.ask(get("/v1/events")).status == 503);
  CHECK(garden.ask(get("/v1/health")).status == 200);
  second.hang_up();
  REQUIRE(garden.until([&] { return garden.server->counters().event_streams == 1; }));
  follower(garden);
}
