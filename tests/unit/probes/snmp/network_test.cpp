#include "probes/snmp/network.h"

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <catch2/catch.hpp>
#include <set>

#include "hex.h"
#include "scripted_agent.h"
#include "talking.h"

namespace frisket::snmp {
namespace {

using namespace testing;
using model::Error;

const Oid kSysDescr{1, 3, 6, 1, 2, 1, 1, 1, 0};

// One network and one agent that has a sysDescr.
struct Office : Talking {
  ScriptedAgent agent{context};

  Office() { agent.set(kSysDescr, Octets{"Quillfern 40"}); }

  using Asked = std::shared_ptr<Running<model::Result<Response>>>;

  Asked ask(std::optional<Patience> patience = std::nullopt) { return ask(agent.endpoint(), patience); }
  Asked ask(const Endpoint& peer, std::optional<Patience> patience = std::nullopt) {
    Request request;
    request.names.push_back(kSysDescr);
    return start(exchange(network, peer, community("garden"), request, patience));
  }

  static std::string text(const Running<model::Result<Response>>& asked) {
    REQUIRE(asked.result);
    REQUIRE(*asked.result);
    return std::get<Octets>((**asked.result).variables.at(0).value).value;
  }

  static Error::Kind failure(const Running<model::Result<Response>>& asked) {
    REQUIRE(asked.result);
    REQUIRE_FALSE(*asked.result);
    return asked.result->error().kind;
  }
};

boost::asio::awaitable<void> ask_only(Network& network, Endpoint peer, Request request) {
  // Cancelled before there is a result.
  [[maybe_unused]] const auto result = co_await exchange(network, peer, community("garden"), request);
}

}  // namespace

TEST_CASE("one request gets its answer with one datagram each way") {
  Office office;
  const auto asked = office.ask();
  office.until([&] { return asked->ended(); });
  CHECK(office.text(*asked) == "Quillfern 40");
  CHECK(office.count("sent") == 1);
  CHECK(office.count("received") == 1);
  CHECK(office.count("answered") == 1);
}

TEST_CASE("a lost datagram costs one timeout and is asked again with the same request id") {
  Office office;
  office.agent.script([&](const ScriptedAgent::Asked& asked) {
    return office.agent.asked().size() == 1 ? std::string{} : office.agent.serve(asked);
  });
  const auto asked = office.ask();
  office.until([&] { return office.agent.asked().size() == 1; });
  office.clock.advance(1499ms);
  CHECK(office.agent.asked().size() == 1);
  office.clock.advance(1ms);
  office.until([&] { return asked->ended(); });
  CHECK(office.text(*asked) == "Quillfern 40");
  REQUIRE(office.agent.asked().size() == 2);
  CHECK(office.agent.asked()[0].id == office.agent.asked()[1].id);
  CHECK(office.count("retransmitted") == 1);
}

TEST_CASE("a device that is silent is given up after exactly attempts times timeout") {
  Office office;
  office.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto asked = office.ask();
  office.clock.advance(4499ms);
  CHECK_FALSE(asked->ended());
  office.clock.advance(1ms);
  REQUIRE(asked->ended());
  CHECK(office.failure(*asked) == Error::Kind::silent);
  CHECK(asked->result->error().what == "no answer in 3 attempts");
  office.until([&] { return office.agent.asked().size() == 3; });
  CHECK(office.count("sent") == 3);
  CHECK(office.count("timed_out") == 1);
}

TEST_CASE("patience can be given for one exchange") {
  Office office;
  office.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto asked = office.ask(Patience{200ms, 2});
  office.clock.advance(400ms);
  CHECK(office.failure(*asked) == Error::Kind::silent);
  CHECK(office.count("sent") == 2);
}

TEST_CASE("an answer from another address is dropped and counted, and the right one still counts") {
  Office office;
  ScriptedAgent other(office.context, "garden", "127.0.0.3");
  std::string answer;
  office.agent.script([&](const ScriptedAgent::Asked& asked) {
    answer = office.agent.serve(asked);
    return std::string{};
  });
  const auto asked = office.ask();
  office.until([&] { return !answer.empty(); });
  boost::asio::ip::udp::socket forger(office.context, Endpoint(boost::asio::ip::make_address("127.0.0.3"), 0));
  forger.send_to(boost::asio::buffer(answer), office.agent.last());
  office.until([&] { return office.count("dropped_wrong_source") == 1; });
  CHECK_FALSE(asked->ended());
  office.agent.send(answer);
  office.until([&] { return asked->ended(); });
  CHECK(office.text(*asked) == "Quillfern 40");
}

TEST_CASE("an answer that comes twice is dropped the second time") {
  Office office;
  std::string answer;
  office.agent.script([&](const ScriptedAgent::Asked& asked) { return answer = office.agent.serve(asked); });
  const auto asked = office.ask();
  office.until([&] { return asked->ended(); });
  office.agent.send(answer);
  office.until([&] { return office.count("dropped_unknown_id") == 1; });
  CHECK(office.count("answered") == 1);
}

TEST_CASE("garbage, cut answers, other communities, versions and kinds are dropped, each under its own name") {
  Office office;
  std::string answer;
  office.agent.script([&](const ScriptedAgent::Asked& asked) {
    answer = office.agent.serve(asked);
    return std::string{};
  });
  const auto asked = office.ask();
  office.until([&] { return !answer.empty(); });

  const auto changed = [&](std::size_t at, char to) {
    auto copy = answer;
    copy[at] = to;
    return copy;
  };
  office.agent.send("not SNMP at all");
  office.agent.send(std::string(60000, '\xff'));
  office.until([&] { return office.count("dropped_malformed") == 2; });
  office.agent.send(answer.substr(0, answer.size() - 3));
  office.until([&] { return office.count("dropped_malformed") == 3; });
  office.agent.send(changed(4, '\0'));  // SNMPv1
  office.until([&] { return office.count("dropped_wrong_version") == 1; });
  office.agent.send(changed(7, 'G'));
  office.until([&] { return office.count("dropped_wrong_community") == 1; });
  office.agent.send(changed(13, '\xa8'));  // a Report
  office.until([&] { return office.count("dropped_not_a_response") == 1; });
  CHECK_FALSE(asked->ended());

  office.agent.send(answer);
  office.until([&] { return asked->ended(); });
  CHECK(office.text(*asked) == "Quillfern 40");
}

TEST_CASE("a device that answers nothing but garbage talks nonsense, it is not silent") {
  Office office;
  office.agent.script([](const ScriptedAgent::Asked&) { return std::string("not SNMP at all"); });
  const auto asked = office.ask();
  for (std::uint64_t attempt = 1; attempt <= 3; ++attempt) {
    office.until([&] { return office.count("dropped_malformed") == attempt; });
    office.clock.advance(1500ms);
  }
  CHECK(office.failure(*asked) == Error::Kind::nonsense);
  CHECK(asked->result->error().what == "no valid answer in 3 attempts");
}

TEST_CASE("an answer of 60,000 octets is taken") {
  Office office;
  office.agent.set(kSysDescr, Octets{std::string(60000, 'x')});
  const auto asked = office.ask();
  office.until([&] { return asked->ended(); });
  CHECK(office.text(*asked).size() == 60000);
}

TEST_CASE("requests above the bound wait in line and go out in order") {
  Office office;
  office.polling.in_flight = 2;
  office.network.configure(office.polling);
  std::vector<ScriptedAgent::Asked> held;
  office.agent.script([&](const ScriptedAgent::Asked& asked) {
    held.push_back(asked);
    return std::string{};
  });
  std::vector<Office::Asked> asked;
  for (int i = 0; i < 4; ++i) asked.push_back(office.ask());
  office.until([&] { return held.size() == 2; });
  office.clock.settle();
  CHECK(office.count("sent") == 2);
  office.agent.send(office.agent.serve(held[0]));
  office.until([&] { return held.size() == 3; });
  CHECK(asked[0]->ended());
  office.agent.send(office.agent.serve(held[1]));
  office.agent.send(office.agent.serve(held[2]));
  office.until([&] { return held.size() == 4; });
  office.agent.send(office.agent.serve(held[3]));
  office.until([&] { return asked[3]->ended(); });
  for (const auto& one : asked) CHECK(office.text(*one) == "Quillfern 40");
  for (std::size_t i = 1; i < held.size(); ++i) CHECK(held[i].id == held[i - 1].id + 1);
}

TEST_CASE("a cancelled exchange throws, and leaves its place to the next") {
  Office office;
  office.polling.in_flight = 1;
  office.network.configure(office.polling);
  office.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  Request request;
  request.names.push_back(kSysDescr);
  boost::asio::cancellation_signal cancel;
  std::exception_ptr escaped;
  bool ended = false;
  auto finished = [&](const std::exception_ptr& what) {
    escaped = what;
    ended = true;
  };
  boost::asio::co_spawn(office.context, ask_only(office.network, office.agent.endpoint(), request),
                        boost::asio::bind_cancellation_slot(cancel.slot(), finished));
  office.until([&] { return office.agent.asked().size() == 1; });
  const auto waiting = office.ask();
  office.clock.settle();
  CHECK(office.agent.asked().size() == 1);
  cancel.emit(boost::asio::cancellation_type::terminal);
  office.until([&] { return ended; });
  CHECK(escaped);
  office.until([&] { return office.agent.asked().size() == 2; });
  CHECK_FALSE(waiting->ended());
}

TEST_CASE("stopping ends what is under way and what waits in line as silent") {
  Office office;
  office.polling.in_flight = 1;
  office.network.configure(office.polling);
  office.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto under_way = office.ask();
  const auto in_line = office.ask();
  office.until([&] { return office.agent.asked().size() == 1; });
  office.network.stop();
  office.until([&] { return under_way->ended() && in_line->ended(); });
  CHECK(office.failure(*under_way) == Error::Kind::silent);
  CHECK(office.failure(*in_line) == Error::Kind::silent);
  const auto later = office.ask();
  office.until([&] { return later->ended(); });
  CHECK(office.failure(*later) == Error::Kind::silent);
}

TEST_CASE("destroying everything with requests under way loses nothing and crashes nothing") {
  auto office = std::make_unique<Office>();
  office->agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto asked = office->ask();
  office->until([&] { return office->agent.asked().size() == 1; });
  office.reset();
  CHECK(asked.use_count() >= 1);
}

TEST_CASE("the credential that the device takes is found with one question to all at once") {
  Office office;
  Request request;
  request.names.push_back(kSysDescr);
  std::vector<config::Credential> credentials{community("orchard"), community("garden"), community("meadow")};
  const auto asked =
      office.start(exchange_first(office.network, office.agent.endpoint(), std::move(credentials), request));
  office.until([&] { return asked->ended(); });
  CHECK(asked->result->credential == 1);
  CHECK(asked->result->response.has_value());
  office.clock.advance(1h);
  CHECK(office.count("retransmitted") == 0);  // the others are forgotten
}

TEST_CASE("a silent device costs no more time with three credentials than with one") {
  Office office;
  office.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  Request request;
  request.names.push_back(kSysDescr);
  std::vector<config::Credential> credentials{community("orchard"), community("garden"), community("meadow")};
  const auto asked =
      office.start(exchange_first(office.network, office.agent.endpoint(), std::move(credentials), request));
  office.clock.advance(4500ms);
  REQUIRE(asked->ended());
  CHECK(asked->result->response.error().kind == Error::Kind::silent);
  CHECK(office.count("sent") == 9);
}

TEST_CASE("IPv6 has a socket of its own") {
  Office office;
  ScriptedAgent agent(office.context, "garden", "::1");
  agent.set(kSysDescr, Octets{"over IPv6"});
  const auto asked = office.ask(agent.endpoint());
  office.until([&] { return asked->ended(); });
  CHECK(office.text(*asked) == "over IPv6");
  CHECK(office.network.local_port() == 0);  // the IPv4 one is not open
}

TEST_CASE("a thousand requests at once all get their own answers") {
  Office office;
  office.polling.in_flight = 64;  // what the agent's own receive buffer holds for sure
  office.network.configure(office.polling);
  std::vector<Office::Asked> asked;
  for (int i = 0; i < 1000; ++i) asked.push_back(office.ask());
  office.until([&] { return std::ranges::all_of(asked, [](const auto& one) { return one->ended(); }); });
  for (const auto& one : asked) CHECK(office.text(*one) == "Quillfern 40");
  std::set<std::int64_t> ids;
  for (const auto& request : office.agent.asked()) ids.insert(request.id);
  CHECK(ids.size() == 1000);
}

}  // namespace frisket::snmp
