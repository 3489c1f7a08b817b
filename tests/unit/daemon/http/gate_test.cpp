// What the gate does with a decision: refusals are counted, changes are written down.
#include "daemon/http/gate.h"

#include <catch2/catch.hpp>

#include "daemon/http/routes.h"
#include "daemon/http/token_text.h"
#include "daemon/json/forms.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::http;
using namespace frisket::testing;
using namespace std::chrono_literals;
using config::Right;
using json::Json;
using model::AuditRecord;

namespace {

Origin from(const std::string& address) {
  return {.unix_socket = false, .uid = {}, .address = address, .loopback = false};
}

struct Trail final : AuditTrail {
  std::vector<AuditRecord> records;
  std::vector<std::function<void()>> waiting;
  std::vector<AuditRecord> answer;
  std::vector<model::AuditWindow> asked;
  std::optional<model::Error> trouble;

  void record(AuditRecord record, std::function<void()> kept) override {
    records.push_back(std::move(record));
    if (kept) waiting.push_back(std::move(kept));
  }
  void read_audit(const model::AuditWindow& window, Read done) override {
    asked.push_back(window);
    if (trouble) return done(*trouble);
    auto found = answer;
    if (found.size() > window.limit) found.resize(window.limit);
    done(std::move(found));
  }
};

struct Obeying final : Commands {
  int acts = 0;
  std::optional<model::Error> trouble;
  void act(const std::string& incident, incidents::OperatorAction, Acted done) override {
    ++acts;
    if (trouble) return done(*trouble);
    done(testing::incident(incident, model::Severity::critical));
  }
  void test_hook(const std::string&, Tested done) override { done(std::string("HTTP status 204")); }
  void act_on_queue(QueueAct, QueueActed) override {}
  void test_print(TestPrint, TestPrinted) override {}
};

struct Desk {
  FleetBoard board{"run", {}};
  Obeying commands;
  Trail trail;
  Gate gate{&trail};

  Desk() {
    board.configure(two_sites());
    board.publish_transition(raised(incident("i1", model::Severity::critical)));
    gate.set_tokens(std::vector<config::Token>{{"screen", Right::read, hash_of("screen-token")},
                                               {"desk", Right::operate, hash_of("desk-token")},
                                               {"it", Right::administer, hash_of("it-token")}});
  }

  Response ask(std::string method, std::string target, std::string token, std::string body = "") {
    Request request;
    request.method = std::move(method);
    request.target = std::move(target);
    request.host = "localhost";
    request.content_type = "application/json";
    request.body = std::move(body);
    request.now = kEight;
    if (!token.empty()) request.authorization = {"Bearer " + token};
    return respond(request, board, {}, &commands, &gate);
  }

  // The answer, once it is there.
  Response answered(Response response) {
    if (!response.later) return response;
    std::optional<Response> answer;
    response.later([&](Response given) { answer = std::move(given); });
    for (auto& kept : std::exchange(trail.waiting, {})) kept();
    REQUIRE(answer);
    return *answer;
  }
};

const std::string kAck = "/v1/incidents/i1/ack";
const std::string kByRobin = R"({"by":"robin"})";

}  // namespace

TEST_CASE("after ten refusals in a minute an address is told to wait, and only then") {
  RefusalLimit limit;
  for (int i = 0; i < RefusalLimit::kEach; ++i) CHECK(limit.refuse(from("192.0.2.7"), kEight + i * 1s) == 0);
  CHECK(limit.refuse(from("192.0.2.7"), kEight + 20s) == 40);
  CHECK(limit.refuse(from("192.0.2.8"), kEight + 20s) == 0);
  CHECK(limit.refuse(from("192.0.2.7"), kEight + 59'999ms) == 1);
  CHECK(limit.refuse(from("192.0.2.7"), kEight + 60s) == 0);
}

TEST_CASE("a clock that is set back locks nobody out") {
  RefusalLimit limit;
  for (int i = 0; i < RefusalLimit::kEach; ++i) limit.refuse(from("192.0.2.7"), kEight);
  CHECK(limit.refuse(from("192.0.2.7"), kEight) == 60);
  CHECK(limit.refuse(from("192.0.2.7"), kEight - 24h) == 0);
}

TEST_CASE("one IPv6 network is one peer") {
  RefusalLimit limit;
  for (int i = 0; i < RefusalLimit::kEach; ++i)
    CHECK(limit.refuse(from("2001:db8::" + std::to_string(i + 1)), kEight) == 0);
  CHECK(limit.refuse(from("2001:db8::ffff"), kEight) == 60);
  CHECK(limit.refuse(from("2001:db8:0:1::1"), kEight) == 0);
}

TEST_CASE("refusals of all addresses together are bounded, and so is what is remembered of them") {
  RefusalLimit limit;
  int heard = 0;
  for (int i = 0; i < 5000; ++i) {
    const auto address = "10.0." + std::to_string(i / 250) + '.' + std::to_string(i % 250);
    heard += limit.refuse(from(address), kEight) == 0 ? 1 : 0;
  }
  CHECK(heard == RefusalLimit::kAll);
  CHECK(limit.peers() <= RefusalLimit::kPeers);
  CHECK(limit.refuse(from("192.0.2.7"), kEight + 61s) == 0);
}

TEST_CASE("without a token, or with one of too small a right, nothing is changed and the refusal is written down") {
  Desk desk;
  const auto missing = desk.ask("POST", kAck, "", kByRobin);
  CHECK(missing.status == 401);
  CHECK(missing.field("WWW-Authenticate") == R"(Bearer realm="frisket", scope="operate")");
  CHECK(missing.field("Content-Type") == "application/problem+json");
  CHECK(Json::parse(missing.body.text()).at("detail") == "this needs a token with the right operate");
  CHECK(desk.ask("POST", kAck, "screen-token", kByRobin).status == 403);
  CHECK(desk.commands.acts == 0);
  REQUIRE(desk.trail.records.size() == 2);
  const auto& refused = desk.trail.records[1];
  CHECK(refused == AuditRecord{0, kEight, "screen", "127.0.0.1", "incident.ack", "i1", "",
                               AuditRecord::Outcome::refused,
                               "the token screen has the right read; this needs operate"});
  CHECK(desk.trail.records[0].who == "nobody");
}

TEST_CASE("what is changed is written down with who, what and how it went, before it is answered") {
  Desk desk;
  auto response = desk.ask("POST", kAck, "desk-token", kByRobin);
  REQUIRE(response.later);
  std::optional<Response> answer;
  response.later([&](Response given) { answer = std::move(given); });
  CHECK(desk.commands.acts == 1);
  CHECK(desk.trail.records == std::vector<AuditRecord>{{0, kEight, "desk", "127.0.0.1", "incident.ack", "i1", kByRobin,
                                                        AuditRecord::Outcome::done, ""}});
  CHECK_FALSE(answer);  // not before it is kept
  REQUIRE(desk.trail.waiting.size() == 1);
  desk.trail.waiting[0]();
  REQUIRE(answer);
  CHECK(answer->status == 200);
}

TEST_CASE("what was allowed and did not work is written down with the reason") {
  Desk desk;
  desk.commands.trouble = model::Error{model::Error::Kind::invalid, "acting", "i1", "it is cleared"};
  CHECK(desk.answered(desk.ask("POST", kAck, "it-token", kByRobin)).status == 409);
  CHECK(desk.ask("POST", kAck, "it-token", "{").status == 400);
  CHECK(desk.ask("POST", "/v1/incidents/i9/close", "it-token", kByRobin).status == 404);
  REQUIRE(desk.trail.records.size() == 3);
  for (const auto& record : desk.trail.records) {
    CHECK(record.who == "it");
    CHECK(record.outcome == AuditRecord::Outcome::failed);
  }
  CHECK(desk.trail.records[0].reason == "it is cleared");
  CHECK(desk.trail.records[1].reason == "the body is no JSON object");
  CHECK(desk.trail.records[1].detail.empty());
  CHECK(desk.trail.records[2].what == "incident.close");
  CHECK(desk.trail.records[2].target == "i9");
}

TEST_CASE("a hook's test is a change, and reading is none") {
  Desk desk;
  CHECK(desk.answered(desk.ask("POST", "/v1/hooks/desk/test", "desk-token", "{}")).status == 200);
  REQUIRE(desk.trail.records.size() == 1);
  CHECK(desk.trail.records[0].what == "hook.test");
  CHECK(desk.trail.records[0].target == "desk");
  CHECK(desk.ask("GET", "/v1/fleet", "").status == 200);
  CHECK(desk.ask("GET", "/v1/fleet", "wrong").status == 401);
  CHECK(desk.trail.records.size() == 1);
}

TEST_CASE("too many refusals get 429 and leave no trace, and whoever may is served meanwhile") {
  Desk desk;
  for (int i = 0; i < RefusalLimit::kEach; ++i) CHECK(desk.ask("POST", kAck, "wrong", kByRobin).status == 401);
  const auto limited = desk.ask("POST", kAck, "wrong", kByRobin);
  CHECK(limited.status == 429);
  CHECK(limited.field("Retry-After") == "60");
  CHECK_FALSE(limited.field("WWW-Authenticate"));
  CHECK(desk.trail.records.size() == RefusalLimit::kEach);
  CHECK(desk.answered(desk.ask("POST", kAck, "desk-token", kByRobin)).status == 200);
  CHECK(desk.ask("GET", "/v1/fleet", "").status == 200);
}

TEST_CASE("the audit trail is for those who may administer, newest first and in parts") {
  Desk desk;
  CHECK(desk.ask("GET", "/v1/audit", "").status == 401);
  CHECK(desk.ask("GET", "/v1/audit", "desk-token").status == 403);
  desk.trail.answer = {
      {9, kEight, "desk", "192.0.2.7", "incident.ack", "i1", kByRobin, AuditRecord::Outcome::done, ""},
      {7, kEight, "nobody", "192.0.2.7", "hook.test", "", "no json", AuditRecord::Outcome::refused, "<b>"},
      {4, kEight, "it", "127.0.0.1", "hook.test", "desk", "", AuditRecord::Outcome::failed, "x"}};
  const auto whole = Json::parse(desk.answered(desk.ask("GET", "/v1/audit", "it-token")).body.text());
  CHECK(whole.at("next").is_null());
  CHECK(whole.at("items").at(0) == Json::parse(R"({"number":9,"at":"2026-01-05T08:00:00.000Z","who":"desk",
      "peer":"192.0.2.7","what":"incident.ack","target":"i1","detail":{"by":"robin"},"outcome":"done","reason":null})"));
  CHECK(whole.at("items").at(1).at("detail").is_null());
  CHECK(whole.at("items").at(1).at("target").is_null());

  const auto part = Json::parse(desk.answered(desk.ask("GET", "/v1/audit?limit=2", "it-token")).body.text());
  CHECK(part.at("items").size() == 2);
  CHECK(part.at("next") == "7");
  desk.answered(desk.ask("GET", "/v1/audit?limit=2&after=7", "it-token"));
  CHECK(desk.trail.asked.back().before == 7);

  for (const auto* query :
       {"after=0", "after=-1", "after=x", "after=7x", "after=99999999999999999999", "after=", "who=it"})
    CHECK(desk.ask("GET", std::string("/v1/audit?") + query, "it-token").status == 400);
  desk.trail.trouble = model::Error{model::Error::Kind::local, "reading the audit trail", "", "no disk"};
  CHECK(desk.answered(desk.ask("GET", "/v1/audit", "it-token")).status == 503);
  CHECK(desk.trail.records.size() == 0);
}

TEST_CASE("without a file of tokens this machine may read the audit trail") {
  Desk desk;
  desk.gate.set_tokens({});
  CHECK(desk.answered(desk.ask("GET", "/v1/audit", "")).status == 200);
}
