// Questions to an SNMPv3 agent that behaves, was reset, or never agrees.
#include <catch2/catch.hpp>

#include "probes/snmp/exchange.h"
#include "scripted_agent.h"
#include "talking.h"
#include "usm_agent.h"

namespace frisket::snmp {
namespace {

using namespace testing;
using config::Authentication;
using config::Privacy;
using model::Error;

const Oid kSysDescr{1, 3, 6, 1, 2, 1, 1, 1, 0};

config::Credential reader() {
  config::Credential credential;
  credential.name = "reader";
  credential.version = config::SnmpVersion::v3;
  credential.user.name = "frisket";
  credential.user.authentication = Authentication::sha_256;
  credential.user.authentication_password = "moss and fern";
  credential.user.privacy = Privacy::aes_128;
  credential.user.privacy_password = "liverwort";
  return credential;
}

struct Fernery : Talking {
  config::Credential credential = reader();
  UsmAgent agent{context, credential.user};
  UsmPeer peer;

  // Asks, with the clock standing still, and gives what came of it.
  model::Result<Response> ask() {
    const auto running = start(
        exchange(network, agent.endpoint(), credential, Request{Operation::get, 0, {kSysDescr}}, std::nullopt, &peer));
    until([&] { return running->ended(); });
    REQUIRE(running->result);
    return *running->result;
  }

  // The same where no answer will come.
  model::Result<Response> ask_for(model::SteadyTime::duration span) {
    const auto running = start(
        exchange(network, agent.endpoint(), credential, Request{Operation::get, 0, {kSysDescr}}, std::nullopt, &peer));
    const auto before = agent.asked().size();
    until([&] { return agent.asked().size() > before; });
    for (auto gone = model::SteadyTime::duration{0}; gone < span && !running->ended(); gone += 500ms) {
      // What the agent sends in between is let through before the clock moves on.
      for (int i = 0; i < 5; ++i) context.run_one_for(2ms);
      clock.advance(500ms);
    }
    REQUIRE(running->result);
    return *running->result;
  }

  std::size_t messages() const { return agent.asked().size(); }
};

bool answered(const model::Result<Response>& result) {
  return result && result->variables.size() == 1 && result->variables[0].value == Value(Octets{"Quillfern 40"});
}

}  // namespace

TEST_CASE("the first question discovers the engine, the others do not") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 2);
  CHECK(fernery.agent.asked()[0].flags == 4);
  CHECK(fernery.agent.asked()[1].flags == 7);
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 3);
}

TEST_CASE("a user without authentication needs discovery too, and is answered") {
  Fernery fernery;
  fernery.credential.user.authentication = Authentication::none;
  fernery.credential.user.privacy = Privacy::none;
  fernery.agent.user = fernery.credential.user;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 2);
}

TEST_CASE("the engine's time goes on with our clock, so that a device asked once a day is still in time") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  fernery.clock.advance(24h);
  fernery.agent.time += 24 * 3600;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 3);
}

TEST_CASE("an agent that was restarted is read within one question") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  fernery.agent.boots += 1;
  fernery.agent.time = 5;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 4);  // the request, told to be out of time, and again
  CHECK(fernery.peer.engine()->boots == 8);
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 5);
}

TEST_CASE("an agent whose count of starts went back, as after a reset, is not refused for ever") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  fernery.agent.boots = 1;
  fernery.agent.time = 5;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.peer.engine()->boots == 1);
  CHECK(fernery.peer.engine()->authentic);
  const auto so_far = fernery.messages();
  CHECK(so_far == 5);  // the request, discovery, the request again
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == so_far + 1);
}

TEST_CASE("an agent whose time went back without a start is read within one question") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  fernery.agent.time -= 900;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.peer.engine()->time == 100);
}

TEST_CASE("an agent with a new engine id is read within one question, with keys of its own") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  fernery.agent.engine_id += "-new";
  fernery.agent.boots = 1;
  CHECK(answered(fernery.ask()));
  CHECK(fernery.messages() == 4);
  CHECK(fernery.peer.engine()->id == fernery.agent.engine_id);
}

TEST_CASE("a wrong user and a wrong password are told apart") {
  Fernery fernery;
  fernery.credential.user.name = "fresco";
  auto result = fernery.ask();
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::unknown_user);
  CHECK(result.error().what == "the agent has no SNMPv3 user \"fresco\"");

  fernery.credential = reader();
  fernery.credential.user.authentication_password = "moss or fern";
  result = fernery.ask();
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::wrong_key);
  CHECK(result.error().what == "the agent knows SNMPv3 user \"frisket\", but not with this authentication or password");

  fernery.credential = reader();
  fernery.credential.user.privacy = Privacy::none;
  result = fernery.ask();
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::refused);

  fernery.credential = reader();
  CHECK(answered(fernery.ask()));
}

TEST_CASE("an agent that reports that it cannot decrypt makes the key wrong") {
  Fernery fernery;
  fernery.agent.script = [&](const UsmMessage& asked) {
    return asked.user.empty() ? fernery.agent.serve(asked) : fernery.agent.report(asked, UsmStat::decryption_error);
  };
  const auto result = fernery.ask();
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::wrong_key);
}

TEST_CASE("an agent that says who it is and then no more makes the key wrong, and one that says nothing is silent") {
  Fernery fernery;
  fernery.agent.silent_to_users = true;
  auto result = fernery.ask_for(10s);
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::wrong_key);
  CHECK(result.error().what == "the agent answers, but not SNMPv3 user \"frisket\": most likely a wrong password");
  fernery.agent.silent = true;
  result = fernery.ask_for(10s);
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::silent);
}

TEST_CASE("a password changed on a device that was read until then is found out by the second question") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  fernery.agent.silent_to_users = true;  // what a wrong privacy key looks like
  auto result = fernery.ask_for(10s);
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::silent);
  result = fernery.ask_for(10s);
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::wrong_key);
}

TEST_CASE("an agent that is never content with the time costs a bounded number of messages") {
  Fernery fernery;
  for (const unsigned flags : {1U, 0U}) {  // authentic or not
    fernery.peer.forget();
    fernery.agent.script = [&, flags](const UsmMessage& asked) {
      fernery.agent.time += 1000;
      return asked.user.empty() ? fernery.agent.report(asked, UsmStat::unknown_engine_id)
                                : fernery.agent.report(asked, UsmStat::not_in_time_window, flags);
    };
    const auto before = fernery.messages();
    const auto result = fernery.ask();
    REQUIRE_FALSE(result);
    CHECK(result.error().kind == Error::Kind::nonsense);
    CHECK(result.error().what == "the agent's SNMP engine time does not stay the same");
    CHECK(fernery.messages() - before == (flags == 1U ? 3 : 4));
  }
}

TEST_CASE("an agent with a new engine id for every message costs a bounded number of messages") {
  Fernery fernery;
  fernery.agent.script = [&](const UsmMessage& asked) {
    fernery.agent.engine_id += 'x';
    return fernery.agent.report(asked, UsmStat::unknown_engine_id);
  };
  const auto result = fernery.ask();
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::nonsense);
  CHECK(result.error().what == "the agent's SNMP engine id does not stay the same");
  CHECK(fernery.messages() == 3);
}

TEST_CASE("a report without a right digest does not move the time of a user who has one") {
  Fernery fernery;
  CHECK(answered(fernery.ask()));
  int forged = 0;
  fernery.agent.script = [&](const UsmMessage& asked) {
    if (asked.user.empty() || forged++ > 0) return fernery.agent.serve(asked);
    return seal_message(report_of(asked, fernery.agent.engine_id, 2000000, 5, counter_of(UsmStat::not_in_time_window)),
                        fernery.agent.user);
  };
  CHECK(answered(fernery.ask()));
  CHECK(fernery.peer.engine()->boots == 7);
}

TEST_CASE("an answer with a wrong digest is dropped, and the request waits on") {
  Fernery fernery;
  int spoilt = 0;
  fernery.agent.script = [&](const UsmMessage& asked) {
    auto reply = fernery.agent.serve(asked);
    if (asked.user.empty() || spoilt++ > 0) return reply;
    reply.back() = static_cast<char>(reply.back() ^ 1);
    return reply;
  };
  CHECK(answered(fernery.ask_for(10s)));
  CHECK(fernery.count("dropped_malformed") == 1);
  CHECK(fernery.count("retransmitted") == 1);
}

TEST_CASE("an answer in another version than asked is dropped") {
  Fernery fernery;
  ScriptedAgent talkative(fernery.context);
  const auto running = fernery.start(
      exchange(fernery.network, talkative.endpoint(), community("garden"), Request{Operation::get, 0, {kSysDescr}}));
  talkative.script([&](const ScriptedAgent::Asked& asked) {
    UsmMessage answer;
    answer.id = answer.request_id = asked.id;
    answer.engine_id = answer.context_engine_id = fernery.agent.engine_id;
    answer.pdu = simfleet::ber::response;
    answer.variables = encode_variables({{kSysDescr, Octets{"Quillfern 40"}}});
    return seal_message(answer, {});
  });
  fernery.until([&] { return fernery.count("dropped_wrong_version") == 1; });
  fernery.clock.advance(10s);
  REQUIRE(running->result);
  CHECK(running->result->error().kind == Error::Kind::nonsense);
}

// exchange_first: mixes of communities and users.

namespace {

struct Mixed : Fernery {
  model::Result<Response> ask_with(const std::vector<config::Credential>& credentials, Endpoint whom,
                                   std::size_t& which) {
    const auto running =
        start(exchange_first(network, std::move(whom), credentials, Request{Operation::get, 0, {kSysDescr}}));
    for (int i = 0; i < 40 && !running->ended(); ++i) {
      for (int turn = 0; turn < 10; ++turn) context.run_one_for(2ms);
      if (!running->ended()) clock.advance(500ms);
    }
    REQUIRE(running->result);
    which = running->result->credential;
    return running->result->response;
  }
};

}  // namespace

TEST_CASE("of a community and a user the one that the device takes is found") {
  Mixed fernery;
  std::size_t which = 9;
  CHECK(answered(fernery.ask_with({community("garden"), reader()}, fernery.agent.endpoint(), which)));
  CHECK(which == 1);
  ScriptedAgent old(fernery.context);
  old.set(kSysDescr, Octets{"Quillfern 40"});
  CHECK(answered(fernery.ask_with({community("garden"), reader()}, old.endpoint(), which)));
  CHECK(which == 0);
  CHECK(answered(fernery.ask_with({reader(), community("garden")}, old.endpoint(), which)));
  CHECK(which == 1);
}

TEST_CASE("of what several credentials are refused with, the key that is wrong tells most") {
  Mixed fernery;
  auto other = reader();
  other.user.name = "fresco";
  auto wrong = reader();
  wrong.user.authentication_password = "moss or fern";
  std::size_t which = 9;
  const auto result = fernery.ask_with({community("garden"), other, wrong}, fernery.agent.endpoint(), which);
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == Error::Kind::wrong_key);
}

TEST_CASE("a device that is off costs no more time with a user than with a community") {
  Mixed fernery;
  fernery.agent.silent = true;
  const auto running =
      fernery.start(exchange_first(fernery.network, fernery.agent.endpoint(), {community("garden"), reader()},
                                   Request{Operation::get, 0, {kSysDescr}}));
  fernery.clock.advance(3 * 1500ms);
  REQUIRE(running->result);
  CHECK(running->result->response.error().kind == Error::Kind::silent);
}

}  // namespace frisket::snmp
