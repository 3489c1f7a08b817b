#include "probes/snmp/request_table.h"

#include <catch2/catch.hpp>
#include <memory>
#include <set>
#include <vector>

namespace frisket::snmp {
namespace {

using namespace std::chrono_literals;

struct Asked final : RequestTable::Entry {
  using Entry::Entry;
};

// Requests asked of one table at times that the test hands in.
struct Asking {
  explicit Asking(std::uint32_t first_id = 100) : table(first_id) {}

  Asked& ask(const char* address, model::SteadyTime at, int attempts = 3) {
    return ask(address, at, Patience{1500ms, attempts});
  }
  Asked& ask(const char* address, model::SteadyTime at, Patience patience) {
    auto asked = std::make_unique<Asked>(at_port(address), patience);
    table.assign_id(*asked);
    table.add(*asked, at);
    requests.push_back(std::move(asked));
    return *requests.back();
  }

  static Endpoint at_port(const char* address, std::uint16_t port = 161) {
    return {boost::asio::ip::make_address(address), port};
  }

  // What happens from now until `end`, as (time, again) of everything that falls due.
  std::vector<std::pair<model::SteadyTime, bool>> run_until(model::SteadyTime end) {
    std::vector<std::pair<model::SteadyTime, bool>> seen;
    while (table.next_due() && *table.next_due() <= end) {
      const auto now = *table.next_due();
      while (const auto due = table.take_due(now)) seen.emplace_back(now, due->again);
    }
    return seen;
  }

  RequestTable table;
  std::vector<std::unique_ptr<Asked>> requests;
};

const model::SteadyTime kStart{};

}  // namespace

TEST_CASE("a silent device is asked again after each timeout and given up after the last") {
  Asking asking;
  auto& request = asking.ask("192.0.2.10", kStart);
  const std::vector<std::pair<model::SteadyTime, bool>> expected{
      {kStart + 1500ms, true}, {kStart + 3000ms, true}, {kStart + 4500ms, false}};
  CHECK(asking.run_until(kStart + 1h) == expected);
  CHECK_FALSE(request.listed());
  CHECK(asking.table.size() == 0);
}

TEST_CASE("nothing is due a moment before its time") {
  Asking asking;
  asking.ask("192.0.2.10", kStart);
  CHECK_FALSE(asking.table.take_due(kStart + 1500ms - 1ns));
  CHECK(asking.table.take_due(kStart + 1500ms));
  CHECK_FALSE(asking.table.take_due(kStart + 1500ms));
}

TEST_CASE("the answer to the first attempt still counts after the second was sent") {
  Asking asking;
  auto& request = asking.ask("192.0.2.10", kStart);
  const auto id = request.id();
  REQUIRE(asking.table.take_due(kStart + 1500ms)->again);
  CHECK(request.id() == id);
  CHECK(asking.table.find(id, request.peer).match == RequestTable::Match::found);
}

TEST_CASE("an answer that comes twice, too late, or unasked finds no request") {
  Asking asking;
  auto& request = asking.ask("192.0.2.10", kStart);
  asking.table.remove(request);
  CHECK(asking.table.find(request.id(), request.peer).match == RequestTable::Match::unknown_id);
  auto& given_up = asking.ask("192.0.2.11", kStart, 1);
  asking.run_until(kStart + 1h);
  CHECK(asking.table.find(given_up.id(), given_up.peer).match == RequestTable::Match::unknown_id);
  CHECK(asking.table.find(-1, given_up.peer).match == RequestTable::Match::unknown_id);
}

TEST_CASE("where a device is known to answer soon it is asked again soon, and given up no sooner") {
  Asking asking;
  auto& request = asking.ask("192.0.2.10", kStart, Patience{1500ms, 3, 200ms});
  CHECK(request.sent_once());
  const std::vector<std::pair<model::SteadyTime, bool>> expected{
      {kStart + 200ms, true}, {kStart + 1700ms, true}, {kStart + 4500ms, false}};
  CHECK(asking.run_until(kStart + 1h) == expected);
  CHECK_FALSE(request.sent_once());
}

TEST_CASE("an answer from another address or port is not taken, and the request goes on waiting") {
  Asking asking;
  auto& request = asking.ask("192.0.2.10", kStart);
  CHECK(asking.table.find(request.id(), Asking::at_port("192.0.2.11")).match == RequestTable::Match::wrong_source);
  CHECK(asking.table.find(request.id(), Asking::at_port("192.0.2.10", 162)).match == RequestTable::Match::wrong_source);
  CHECK(request.listed());
  CHECK(asking.table.find(request.id(), Asking::at_port("192.0.2.10")).entry == &request);
}

TEST_CASE("garbage is remembered for the requests that wait for its sender, and for no other") {
  Asking asking;
  auto& one = asking.ask("192.0.2.10", kStart);
  auto& other = asking.ask("192.0.2.11", kStart);
  asking.table.mark_garbled(Asking::at_port("192.0.2.10"));
  CHECK(one.garbled());
  CHECK_FALSE(other.garbled());
}

TEST_CASE("ids are positive and none is given twice while it could still be answered") {
  Asking asking(0xfffffffeU);
  std::set<std::int32_t> seen;
  for (int i = 0; i < 10000; ++i) {
    auto& request = asking.ask("192.0.2.10", kStart);
    CHECK(request.id() >= 0x01000000);
    CHECK(seen.insert(request.id()).second);
    if (i % 2 == 0) asking.table.remove(request);
  }
}

TEST_CASE("ids run around the end of 31 bits to the first that takes four octets") {
  Asking asking(0x7ffffffeU - RequestTable::kFirstId);
  CHECK(asking.ask("192.0.2.10", kStart).id() == 0x7ffffffe);
  CHECK(asking.ask("192.0.2.10", kStart).id() == 0x7fffffff);
  CHECK(asking.ask("192.0.2.10", kStart).id() == 0x01000000);
}

}  // namespace frisket::snmp
