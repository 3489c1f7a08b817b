#include "probes/snmp/standing_request.h"

#include <catch2/catch.hpp>

#include "probes/snmp/answer_tail.h"
#include "scripted_agent.h"
#include "talking.h"

namespace frisket::snmp {
namespace {

using namespace testing;

const Oid kUpTime{1, 3, 6, 1, 2, 1, 1, 3, 0};
const Oid kLevel{1, 3, 6, 1, 2, 1, 43, 11, 1, 1, 9, 1, 1};

// Asks a glasshouse printer for sysUpTime and one level, again and again.
struct Glasshouse : Talking {
  ScriptedAgent agent{context};
  config::Credential credential = community("garden");
  std::unique_ptr<StandingRequest> standing;

  Glasshouse() {
    agent.set(kUpTime, TimeTicks{100});
    agent.set(kLevel, Integer{42});
    Request request;
    request.names = {kUpTime, kLevel};
    standing = StandingRequest::make(network, agent.endpoint(), credential, request, true, true);
    REQUIRE(standing);
  }

  StandingRequest::Answer ask() {
    const auto running = start(standing->ask({}));
    until([&] { return running->ended(); });
    REQUIRE(running->result);
    REQUIRE(running->result->response);
    return std::move(*running->result);
  }
};

std::vector<unsigned char> octets_of(const std::string& text) { return {text.begin(), text.end()}; }

}  // namespace

TEST_CASE("an answer is recognised once it has been remembered, whatever sysUpTime says") {
  Glasshouse glasshouse;
  CHECK_FALSE(glasshouse.ask().unchanged);
  CHECK_FALSE(glasshouse.ask().unchanged);  // nobody said that it was understood
  glasshouse.standing->remember();
  for (const std::uint32_t ticks :
       {0U, 127U, 128U, 255U, 256U, 0x7fffffU, 0x800000U, 0x7fffffffU, 0x80000000U, 0xffffffffU}) {
    glasshouse.agent.set(kUpTime, TimeTicks{ticks});
    const auto answer = glasshouse.ask();
    CHECK(answer.unchanged);
    CHECK(answer.up_time == ticks);
    CHECK(answer.response->variables.empty());
  }
  CHECK(glasshouse.count("recognised") == 10);
}

TEST_CASE("each request has an id of its own") {
  Glasshouse glasshouse;
  glasshouse.ask();
  glasshouse.ask();
  const auto& asked = glasshouse.agent.asked();
  REQUIRE(asked.size() == 2);
  CHECK(asked[1].id == asked[0].id + 1);
  CHECK(asked[0].names == std::vector<Oid>{kUpTime, kLevel});
}

TEST_CASE("requests that share their bytes are told apart by their ids") {
  Glasshouse glasshouse;
  Request request;
  request.names = {kUpTime, kLevel};
  const auto other = StandingRequest::make(glasshouse.network, glasshouse.agent.endpoint(), glasshouse.credential,
                                           request, true, true);
  REQUIRE(other);
  CHECK(other->message(1).data() == glasshouse.standing->message(1).data());
  const auto one = glasshouse.start(glasshouse.standing->ask({}));
  const auto two = glasshouse.start(other->ask({}));
  glasshouse.until([&] { return one->ended() && two->ended(); });
  REQUIRE(one->result);
  REQUIRE(two->result);
  CHECK(one->result->response);
  CHECK(two->result->response);
  const auto& asked = glasshouse.agent.asked();
  REQUIRE(asked.size() == 2);
  CHECK(asked[0].id != asked[1].id);
}

TEST_CASE("a message is kept as long as somebody asks it") {
  StandingMessages messages;
  const auto first = messages.of("....first", 0);
  CHECK(first->with_id(0x01020304) ==
        "\x01\x02\x03\x04"
        "first");
  CHECK(messages.of("....first", 0) == first);
  CHECK(messages.of("..second....", 8) != first);
  for (int i = 0; i < 10'000; ++i) messages.of("...." + std::to_string(i), 0);  // devices come and go
  CHECK(messages.size() <= 64);
  CHECK(messages.of("....first", 0) == first);
}

TEST_CASE("another value, another type, another row or one more is no unchanged answer") {
  Glasshouse glasshouse;
  glasshouse.ask();
  glasshouse.standing->remember();
  REQUIRE(glasshouse.ask().unchanged);
  SECTION("value") { glasshouse.agent.set(kLevel, Integer{41}); }
  SECTION("type") { glasshouse.agent.set(kLevel, Gauge32{42}); }
  SECTION("gone") { glasshouse.agent.remove(kLevel); }
  SECTION("sysUpTime of another type") { glasshouse.agent.set(kUpTime, Integer{100}); }
  SECTION("one more") {
    glasshouse.agent.script([](const ScriptedAgent::Asked& asked) {
      return ScriptedAgent::answer(asked, {{kUpTime, TimeTicks{100}}, {kLevel, Integer{42}}, {kLevel, Integer{42}}});
    });
  }
  SECTION("an error status") {
    glasshouse.agent.script([](const ScriptedAgent::Asked& asked) {
      return ScriptedAgent::answer(asked, {{kUpTime, TimeTicks{100}}, {kLevel, Integer{42}}},
                                   simfleet::ErrorStatus::gen_err, 2);
    });
  }
  const auto answer = glasshouse.ask();
  CHECK_FALSE(answer.unchanged);
  CHECK(answer.response->variables.size() >= 1);
  glasshouse.agent.script({});
  glasshouse.agent.set(kUpTime, TimeTicks{100});
  glasshouse.agent.set(kLevel, Integer{42});
  CHECK_FALSE(glasshouse.ask().unchanged);  // what came between is not forgotten by itself
}

TEST_CASE("a cancelled wait leaves nothing behind") {
  Glasshouse glasshouse;
  glasshouse.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto running = glasshouse.start(glasshouse.standing->ask({1500ms, 1}));
  glasshouse.until([&] { return glasshouse.agent.asked().size() == 1; });
  glasshouse.network.stop();
  glasshouse.until([&] { return running->ended(); });
  REQUIRE(running->result);
  CHECK(running->result->response.error().kind == model::Error::Kind::silent);
}

TEST_CASE("only the encoding without room for interpretation is compared") {
  ScriptedAgent::Asked asked;
  Glasshouse glasshouse;
  std::string good;
  glasshouse.agent.script([&](const ScriptedAgent::Asked& request) { return good = glasshouse.agent.serve(request); });
  glasshouse.ask();
  auto octets = octets_of(good);
  REQUIRE(answer_tail(octets, true));
  CHECK(answer_tail(octets, true)->up_time == 100U);
  REQUIRE(answer_tail(octets, false));
  CHECK(answer_tail(octets, false)->rest.size() > answer_tail(octets, true)->rest.size());
  SECTION("every truncation") {
    for (std::size_t length = 0; length < octets.size(); ++length)
      CHECK_FALSE(answer_tail(std::span(octets).first(length), true));
  }
  SECTION("padding") {
    octets.push_back(0);
    CHECK_FALSE(answer_tail(octets, true));
  }
  SECTION("a request in place of a response") {
    *std::ranges::find(octets, 0xa2) = 0xa0;
    CHECK_FALSE(answer_tail(octets, true));
  }
}

}  // namespace frisket::snmp
