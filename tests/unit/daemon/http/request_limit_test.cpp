#include "daemon/http/request_limit.h"

#include <catch2/catch.hpp>

#include "daemon/http/gate.h"
#include "daemon/http/routes.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using namespace std::chrono_literals;
using http::Origin;
using http::RequestLimit;

namespace {

Origin from(std::string address) {
  Origin origin;
  origin.address = std::move(address);
  origin.loopback = false;
  return origin;
}

int taken(RequestLimit& limit, const Origin& origin, model::WallTime now, int asked) {
  int count = 0;
  for (int i = 0; i < asked; ++i) count += limit.take(origin, now) == 0 ? 1 : 0;
  return count;
}

}  // namespace

TEST_CASE("an address may ask much at once, and then as much as its bucket fills again") {
  RequestLimit limit;
  CHECK(taken(limit, from("192.0.2.7"), kEight, 1000) == RequestLimit::kAtOnce);
  CHECK(limit.take(from("192.0.2.7"), kEight) == 1);
  CHECK(taken(limit, from("192.0.2.7"), kEight + 1s, 1000) == RequestLimit::kEachSecond);
  CHECK(taken(limit, from("192.0.2.7"), kEight + 1h, 1000) == RequestLimit::kAtOnce);
}

TEST_CASE("one address's haste costs no other anything, but a whole IPv6 network is one") {
  RequestLimit limit;
  CHECK(taken(limit, from("192.0.2.7"), kEight, 1000) == RequestLimit::kAtOnce);
  CHECK(limit.take(from("192.0.2.8"), kEight) == 0);
  CHECK(taken(limit, from("2001:db8:1:2::1"), kEight, 1000) == RequestLimit::kAtOnce);
  CHECK(limit.take(from("2001:db8:1:2:ffff::9"), kEight) == 1);
  CHECK(limit.take(from("2001:db8:1:3::1"), kEight) == 0);
}

TEST_CASE("this machine and the UNIX socket are not counted") {
  RequestLimit limit;
  Origin unix_socket;
  unix_socket.unix_socket = true;
  unix_socket.loopback = false;
  CHECK(taken(limit, Origin{}, kEight, 1000) == 1000);
  CHECK(taken(limit, unix_socket, kEight, 1000) == 1000);
  CHECK(limit.peers() == 0);
}

TEST_CASE("a clock that was set back neither fills a bucket nor stops it") {
  RequestLimit limit;
  CHECK(taken(limit, from("192.0.2.7"), kEight, 1000) == RequestLimit::kAtOnce);
  CHECK(taken(limit, from("192.0.2.7"), kEight - 1h, 10) == 0);
  CHECK(taken(limit, from("192.0.2.7"), kEight - 1h + 1s, 1000) == RequestLimit::kEachSecond);
}

TEST_CASE("however many addresses ask, only so many are remembered, and the hasty one among them") {
  RequestLimit limit;
  CHECK(taken(limit, from("192.0.2.7"), kEight, 1000) == RequestLimit::kAtOnce);
  for (int i = 0; i < 20'000; ++i)
    limit.take(
        from("10." + std::to_string(i / 65536) + "." + std::to_string(i / 256 % 256) + "." + std::to_string(i % 256)),
        kEight);
  CHECK(limit.peers() <= RequestLimit::kPeers);
  CHECK(limit.take(from("192.0.2.7"), kEight) == 1);
}

TEST_CASE("who asks too much is told when to come back, whatever was asked for, and before any token is looked at") {
  http::FleetBoard board("run", {});
  board.configure(two_sites());
  http::Gate gate;
  gate.set_tokens(std::vector<config::Token>{});
  http::Request request;
  request.origin = from("192.0.2.7");
  request.now = kEight;
  const http::HostRule any_host{.checked = false, .names = {}};
  for (const auto* target : {"/v1/fleet", "/v1/nothing", "/"}) {
    request.target = target;
    for (int i = 0; i < RequestLimit::kAtOnce; ++i) respond(request, board, any_host, nullptr, &gate);
    const auto response = respond(request, board, any_host, nullptr, &gate);
    CHECK(response.status == 429);
    CHECK(response.field("Retry-After") == "1");
    CHECK(response.body.text().find("too many requests from this address") != std::string::npos);
  }
}
