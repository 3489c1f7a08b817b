// HTTP as RFC 9110 and RFC 9112 have it, against raw sockets.
#include "daemon/http/server.h"

#include "daemon/json/forms.h"
#include "peer.h"

using namespace frisket;
using namespace frisket::testing;

TEST_CASE("a connection serves one request after the other") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  for (int i = 0; i < 3; ++i) {
    peer.send(get("/v1/fleet"));
    const auto reply = garden.reply_to(peer);
    CHECK(reply.status == 200);
    CHECK(reply.keep_alive);
    CHECK(reply.body == garden.board.fleet(garden.clock.wall_now()).text());
  }
  CHECK(garden.server->counters().accepted == 1);
  CHECK(garden.server->counters().requests == 3);
}

TEST_CASE("pipelined requests are answered in order") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send(get("/v1/devices/library-laser") + get("/v1/devices/nobody") + get("/v1/devices/herbarium-copier"));
  CHECK(json::Json::parse(garden.reply_to(peer).body).at("name") == "library-laser");
  CHECK(garden.reply_to(peer).status == 404);
  CHECK(json::Json::parse(garden.reply_to(peer).body).at("name") == "herbarium-copier");
}

TEST_CASE("a request that comes octet by octet is one request") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  for (const char octet : get("/v1/health")) {
    peer.send(std::string(1, octet));
    garden.clock.settle();
  }
  CHECK(garden.reply_to(peer).status == 200);
  CHECK(garden.server->counters().requests == 1);
}

TEST_CASE("HEAD tells the length and sends no body") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send("HEAD /v1/devices HTTP/1.1\r\nHost: localhost\r\n\r\n" + get("/v1/devices"));
  const auto head = garden.reply_to(peer, true);
  const auto whole = garden.reply_to(peer);
  CHECK(head.status == 200);
  CHECK(head.content_length == whole.body.size());
  CHECK(head.keep_alive);
}

TEST_CASE("HEAD of the event stream tells its type and ends") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send("HEAD /v1/events HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
  const auto head = garden.reply_to(peer, true);
  CHECK(head.status == 200);
  CHECK(head.content_type == "text/event-stream");
  CHECK(garden.until([&] { return peer.closed; }));
}

TEST_CASE("Connection: close and HTTP/1.0 end the connection after the answer") {
  ServedGarden garden;
  for (const auto* request :
       {"GET /v1/health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n", "GET /v1/health HTTP/1.0\r\n\r\n"}) {
    CAPTURE(request);
    auto& peer = garden.reading_peer();
    peer.send(request);
    const auto reply = garden.reply_to(peer);
    CHECK(reply.status == 200);
    CHECK_FALSE(reply.keep_alive);
    CHECK(garden.until([&] { return peer.closed; }));
    CHECK_FALSE(peer.reset);
  }
}

TEST_CASE("a body that nobody asked for is read past, in either framing") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send(get("/v1/health", "Content-Length: 5\r\n") + "hello" + get("/v1/health", "Transfer-Encoding: chunked\r\n") +
            "5\r\nhello\r\n0\r\n\r\n" + get("/v1/fleet"));
  for (int i = 0; i < 3; ++i) CHECK(garden.reply_to(peer).status == 200);
}

TEST_CASE("a peer that waits to be told to continue is told so") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send("POST /v1/health HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nExpect: 100-continue\r\n\r\n");
  const std::string go_on = "HTTP/1.1 100 Continue\r\n\r\n";
  REQUIRE(garden.until([&] { return peer.received.size() >= go_on.size(); }));
  CHECK(peer.received == go_on);
  peer.received.clear();
  peer.send("hello");
  CHECK(garden.reply_to(peer).status == 405);
}

TEST_CASE("an answer carries the time of the clock as HTTP writes it") {
  ServedGarden garden;
  auto& peer = garden.reading_peer();
  peer.send(get("/v1/health"));
  REQUIRE(garden.until([&] { return peer.received.find("\r\n\r\n") != std::string::npos; }));
  CHECK(peer.received.find("\r\nDate: Mon, 05 Jan 2026 08:00:00 GMT\r\n") != std::string::npos);
}

TEST_CASE("an answer of many megabytes arrives whole at a peer that reads late") {
  http::Options options;
  options.send_buffer = 65536;
  ServedGarden garden(options);
  auto config = two_sites();
  for (int i = 0; i < 5000; ++i) config.devices.push_back(device("printer-" + std::to_string(i), "glasshouse"));
  garden.board.configure(config);
  auto& peer = garden.peer(65536);
  peer.send(get("/v1/devices?limit=10000"));
  garden.clock.advance(5s);
  peer.read();
  const auto reply = garden.reply_to(peer);
  CHECK(reply.body.size() > 1'000'000);
  CHECK(json::Json::parse(reply.body).at("items").size() == 5003);
}

TEST_CASE("stopping ends idle connections and event streams at once, and refuses new ones") {
  ServedGarden garden;
  auto& idle = garden.reading_peer();
  idle.send(get("/v1/health"));
  garden.reply_to(idle);
  auto& stream = garden.reading_peer();
  stream.send(get("/v1/events"));
  REQUIRE(garden.until([&] { return garden.server->counters().event_streams == 1; }));
  const auto begin = garden.clock.steady_now();
  garden.stop();
  CHECK(garden.clock.steady_now() - begin <= 1s);  // stop() steps by one
  CHECK(garden.until([&] { return idle.closed && stream.closed; }));
  Peer late(garden.io);
  CHECK_THROWS(late.connect({boost::asio::ip::address_v4::loopback(), garden.port}));
}

TEST_CASE("stopping waits for an answer under way, and no longer than it may") {
  http::Options options;
  options.send_buffer = 4096;
  options.stop_wait = 3s;
  ServedGarden garden(options);
  auto config = two_sites();
  for (int i = 0; i < 5000; ++i) config.devices.push_back(device("printer-" + std::to_string(i), "glasshouse"));
  garden.board.configure(config);
  auto& stalled = garden.peer(4096);
  stalled.send(get("/v1/devices?limit=10000"));
  REQUIRE(garden.until([&] { return garden.server->counters().requests == 1; }));
  const auto begin = garden.clock.steady_now();
  garden.stop();
  CHECK(garden.clock.steady_now() - begin >= 3s);
  CHECK(garden.clock.steady_now() - begin <= 5s);
}

TEST_CASE("a second server on the same port says what failed, to whom") {
  ServedGarden garden;
  http::Options options;
  options.port = garden.port;
  http::Server second(garden.io.get_executor(), garden.board, garden.clock, options);
  const auto started = second.start();
  REQUIRE_FALSE(started);
  CHECK(started.error().text() ==
        "opening the HTTP listener of 127.0.0.1 port " + std::to_string(garden.port) + ": Address already in use");
}

TEST_CASE("nothing but loopback is served as long as there are no tokens") {
  boost::asio::io_context io;
  SimulatedClock clock(io);
  http::FleetBoard board;
  for (const auto* address : {"0.0.0.0", "::", "192.0.2.1", "localhost", ""}) {
    CAPTURE(address);
    http::Options options;
    options.address = address;
    options.port = 0;
    http::Server server(io.get_executor(), board, clock, options);
    const auto started = server.start();
    REQUIRE_FALSE(started);
    CHECK(started.error().kind == model::Error::Kind::invalid);
  }
}
