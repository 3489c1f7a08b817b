// Peers that are slow, broken or hostile: each gets the right status, nobody else notices.
#include "daemon/json/forms.h"
#include "peer.h"

using namespace frisket;
using namespace frisket::testing;

namespace {

// The connection ends after this reply, in an orderly way.
void ends(ServedGarden& garden, Peer& peer) {
  CHECK(garden.until([&] { return peer.closed; }));
  CHECK_FALSE(peer.reset);
}

unsigned status_and_end(ServedGarden& garden, std::string request) {
  auto& peer = garden.reading_peer();
  peer.send(std::move(request));
  const auto reply = garden.reply_to(peer);
  CHECK(reply.content_type == "application/problem+json");
  CHECK(json::Json::parse(reply.body).at("status") == reply.status);
  CHECK_FALSE(reply.keep_alive);
  peer.end_sending();
  ends(garden, peer);
  return reply.status;
}

}  // namespace

TEST_CASE("what is not HTTP gets 400 and an end") {
  using namespace std::string_literals;
  for (const auto& request : {
           "hello\r\n\r\n"s,
           "GET\r\n\r\n"s,
           "GET /v1/health\r\n\r\n"s,
           " GET /v1/health HTTP/1.1\r\nHost: localhost\r\n\r\n"s,
           "GET /v1/health HTTP/1.1\r\nHost localhost\r\n\r\n"s,
           "GET /v1/health HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n"s,
           "GET /v1/health HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nhello!"s,
           "GET /v1/health HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nTransfer-Encoding: "
           "chunked\r\n\r\n0\r\n\r\n"s,
           "GET /v1/health HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nxyz\r\n"s,
           "GET /v1/health HTTP/1.1\r\nHost: local\0host\r\n\r\n"s,
           "GET /v1/health HTTP/1.1\r\n\r\n"s,
           "GET /v1/health HTTP/1.1\r\nHost: localhost\r\nHost: localhost\r\n\r\n"s,
       }) {
    CAPTURE(request);
    ServedGarden garden;
    CHECK(status_and_end(garden, request) == 400);
    CHECK(garden.ask(get("/v1/health")).status == 200);
  }
}

TEST_CASE("a version that is not spoken gets 505") {
  ServedGarden garden;
  CHECK(status_and_end(garden, "GET /v1/health HTTP/2.0\r\nHost: localhost\r\n\r\n") == 505);
}

TEST_CASE("a request that ends in its middle gets 400") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send("GET /v1/health HTTP/1.1\r\nHost: loc");
  garden.clock.settle();
  peer.end_sending();
  CHECK(garden.reply_to(peer).status == 400);
  ends(garden, peer);
}

TEST_CASE("a header that drips in gets 408 when its time is over, however steadily it drips") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send("GET /v1/health HTTP/1.1\r\n");
  REQUIRE(garden.until([&] { return garden.server->counters().accepted == 1; }));
  std::optional<Reply> reply;
  const auto begin = garden.clock.steady_now();
  while (!reply && garden.clock.steady_now() - begin < 60s) {
    peer.send("X: y\r\n");
    garden.clock.advance(1s);
    garden.io.restart();
    garden.io.run_one_for(5ms);
    reply = peer.take_reply();
  }
  REQUIRE(reply);
  CHECK(reply->status == 408);
  CHECK(garden.clock.steady_now() - begin >= 10s);
  CHECK(garden.clock.steady_now() - begin <= 12s);
}

TEST_CASE("a body that stops coming gets 408 when its time is over") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send(get("/v1/health", "Content-Length: 100\r\n") + "half");
  std::optional<Reply> reply;
  const auto passed = garden.passes_until([&] { return (reply = peer.take_reply()).has_value(); }, 60s);
  REQUIRE(passed);
  CHECK(reply->status == 408);
  CHECK(*passed >= 30s);
  CHECK(*passed <= 31s);
}

TEST_CASE("a connection without a request is hung up on, without an answer") {
  ServedGarden garden;
  auto& fresh = garden.reading_peer();
  auto& used = garden.reading_peer();
  used.send(get("/v1/health"));
  garden.reply_to(used);
  const auto passed = garden.passes_until([&] { return fresh.closed && used.closed; }, 120s);
  REQUIRE(passed);
  CHECK(*passed >= 59s);
  CHECK(*passed <= 61s);
  CHECK(fresh.received.empty());
  CHECK(used.received.empty());
}

TEST_CASE("a target, a header and a body have their limits, and the refusal arrives although more is sent") {
  ServedGarden garden;
  const std::string kilobyte(1024, 'x');
  std::string nine;
  for (int i = 0; i < 9; ++i) nine += kilobyte;
  CHECK(status_and_end(garden, get("/" + nine)) == 414);
  CHECK(status_and_end(garden, get("/" + nine + nine + nine)) == 414);
  CHECK(status_and_end(garden, get("/v1/health", "X: " + nine + nine + "\r\n")) == 431);
  std::string many;
  for (int i = 0; i < 2000; ++i) many += "X-" + std::to_string(i) + ": y\r\n";
  CHECK(status_and_end(garden, get("/v1/health", many)) == 431);
  std::string body;
  for (int i = 0; i < 65; ++i) body += kilobyte;
  CHECK(status_and_end(garden, get("/v1/health", "Content-Length: 66560\r\n") + body) == 413);
  CHECK(status_and_end(garden, get("/v1/health", "Content-Length: 99999999999\r\n")) == 413);
  CHECK(status_and_end(garden, get("/v1/health", "Transfer-Encoding: chunked\r\n") + "10400\r\n" + body) == 413);
  CHECK(garden.ask(get("/v1/health", "Content-Length: 65536\r\n") + body.substr(0, 65536)).status == 200);
}

TEST_CASE("a peer that takes nothing of its answer is hung up on") {
  http::Options options;
  options.send_buffer = 4096;
  ServedGarden garden(options);
  auto config = two_sites();
  for (int i = 0; i < 5000; ++i) config.devices.push_back(device("printer-" + std::to_string(i), "glasshouse"));
  garden.board.configure(config);
  auto& stalled = garden.peer(4096);
  stalled.send(get("/v1/devices?limit=10000"));
  REQUIRE(garden.until([&] { return garden.server->counters().requests == 1; }));
  CHECK(garden.ask(get("/v1/health")).status == 200);
  const auto passed = garden.passes_until([&] { return garden.server->counters().connections == 1; }, 60s);
  REQUIRE(passed);
  CHECK(*passed >= 19s);
  CHECK(*passed <= 40s);  // not exact: the kernel's buffers may take a little more in real time, which counts anew
}

TEST_CASE("peers that reset the connection at any octet of a request do no harm") {
  ServedGarden garden;
  const auto request = get("/v1/fleet");
  for (std::size_t length = 0; length <= request.size(); ++length) {
    auto& peer = garden.peer();
    peer.send(request.substr(0, length));
    garden.clock.settle();
    peer.hang_up();
    garden.clock.settle();
  }
  CHECK(garden.ask(get("/v1/health")).status == 200);
  CHECK(garden.until([&] { return garden.server->counters().connections == 1; }));
}

TEST_CASE("when all places are taken, the one idle longest makes room") {
  http::Options options;
  options.connections = 2;
  ServedGarden garden(options);
  auto& first = garden.reading_peer();
  REQUIRE(garden.until([&] { return garden.server->counters().accepted == 1; }));
  garden.clock.advance(1s);
  auto& second = garden.reading_peer();
  REQUIRE(garden.until([&] { return garden.server->counters().accepted == 2; }));
  CHECK(garden.ask(get("/v1/health")).status == 200);
  CHECK(garden.until([&] { return first.closed; }));
  CHECK_FALSE(second.closed);
  CHECK(garden.server->counters().refused == 0);
}

TEST_CASE("when all places are taken and nobody is idle, a new connection gets 503") {
  http::Options options;
  options.connections = 2;
  ServedGarden garden(options);
  for (int i = 0; i < 2; ++i) {
    auto& busy = garden.reading_peer();
    busy.send(get("/v1/events"));
    REQUIRE(garden.until([&] { return busy.received.find("retry") != std::string::npos; }));
  }
  auto& late = garden.reading_peer();
  CHECK(garden.reply_to(late).status == 503);
  CHECK(garden.server->counters().refused == 1);
}

TEST_CASE("a request under a foreign name gets 421 over TCP") {
  ServedGarden garden;
  CHECK(garden.ask("GET /v1/fleet HTTP/1.1\r\nHost: printers.example.org\r\n\r\n").status == 421);
}
