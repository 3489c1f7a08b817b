// What people say of incidents, from the request to the command and back.
#include <catch2/catch.hpp>

#include "daemon/http/body.h"
#include "daemon/http/routes.h"
#include "daemon/json/forms.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using http::Response;
using incidents::OperatorState;
using json::Json;

namespace {

struct Spoken final : http::Commands {
  struct Call {
    std::string incident;
    incidents::OperatorAction action;
    Acted done;
  };
  std::vector<Call> calls;
  void act(const std::string& incident, incidents::OperatorAction action, Acted done) override {
    calls.push_back({incident, std::move(action), std::move(done)});
  }
  std::vector<std::pair<std::string, Tested>> tests;
  void test_hook(const std::string& hook, Tested done) override { tests.emplace_back(hook, std::move(done)); }
  std::vector<std::pair<http::QueueAct, QueueActed>> queue_acts;
  void act_on_queue(http::QueueAct act, QueueActed done) override {
    queue_acts.emplace_back(std::move(act), std::move(done));
  }
  void test_print(http::TestPrint, TestPrinted) override {}
};

struct Desk {
  http::FleetBoard board{"run", {}};
  Spoken commands;

  Desk() {
    board.configure(two_sites());
    board.publish_transition(raised(incident("i1", model::Severity::critical)));
  }

  Response post(std::string target, std::string body, std::string type = "application/json") {
    http::Request request;
    request.method = "POST";
    request.target = std::move(target);
    request.host = "localhost";
    request.content_type = std::move(type);
    request.body = std::move(body);
    request.now = kEight;
    return respond(request, board, {}, &commands);
  }
};

}  // namespace

TEST_CASE("what a person says of an incident is a command, and the answer waits for it") {
  Desk desk;
  auto response = desk.post("/v1/incidents/i1/ack", R"({"by":"robin","note":"on my way"})");
  REQUIRE(response.later);
  CHECK(desk.commands.calls.empty());
  std::vector<Response> answers;
  response.later([&](Response answer) { answers.push_back(std::move(answer)); });
  REQUIRE(desk.commands.calls.size() == 1);
  const auto& call = desk.commands.calls.front();
  CHECK(call.incident == "i1");
  CHECK(call.action == incidents::OperatorAction{kEight, OperatorState::ack, "robin", "on my way", {}});
  CHECK(answers.empty());

  auto after = incident("i1", model::Severity::critical);
  after.operator_state = OperatorState::ack;
  call.done(after);
  REQUIRE(answers.size() == 1);
  CHECK(answers[0].status == 200);
  CHECK(Json::parse(answers[0].body.text()).at("operator") == "ack");

  call.done(model::Error{model::Error::Kind::invalid, "acting", "i1", "it is cleared"});
  CHECK(answers.at(1).status == 409);
  CHECK(Json::parse(answers[1].body.text()).at("detail") == "it is cleared");
  call.done(model::Error{model::Error::Kind::local, "writing", "", "the disk is full"});
  CHECK(answers.at(2).status == 503);
}

TEST_CASE("each path says its own state of RFC 8632") {
  struct Row {
    const char* path;
    const char* body;
    OperatorState state;
    std::optional<model::WallTime> until;
  };
  const Row rows[] = {
      {"ack", R"({"by":"robin"})", OperatorState::ack, {}},
      {"close", R"({"by":"robin"})", OperatorState::closed, {}},
      {"take-back", R"({"by":"robin","note":null})", OperatorState::none, {}},
      {"shelve", R"({"by":"robin","for":"8h"})", OperatorState::shelved, kEight + std::chrono::hours{8}},
      {"shelve", R"({"by":"robin","until":"2026-01-05T12:00:00+02:00"})", OperatorState::shelved,
       kEight + std::chrono::hours{2}},
  };
  for (const auto& row : rows) {
    CAPTURE(row.path, row.body);
    Desk desk;
    const auto response = desk.post(std::string("/v1/incidents/i1/") + row.path, row.body);
    REQUIRE(response.later);
    response.later([](Response) {});
    CHECK(desk.commands.calls.at(0).action.state == row.state);
    CHECK(desk.commands.calls.at(0).action.until == row.until);
  }
}

TEST_CASE("a command that is not well said is refused with its reason, and nothing is done") {
  struct Row {
    const char* path;
    const char* body;
    const char* type;
    unsigned status;
  };
  const std::string much(501, 'x');
  const std::string long_note = R"({"by":"robin","note":")" + much + "\"}";
  const Row rows[] = {
      {"i1/ack", R"({"by":"robin"})", "text/plain", 415},
      {"i1/ack", R"({"by":"robin"})", "", 415},
      {"i1/ack", R"({"by":"robin"})", "application/x-www-form-urlencoded", 415},
      {"i1/ack", "", "application/json", 400},
      {"i1/ack", "[]", "application/json", 400},
      {"i1/ack", "{", "application/json", 400},
      {"i1/ack", "{}", "application/json", 400},
      {"i1/ack", R"({"by":""})", "application/json", 400},
      {"i1/ack", R"({"by":7})", "application/json", 400},
      {"i1/ack", R"({"by":"a\nb"})", "application/json", 400},
      {"i1/ack", R"({"by":"a\u007fb"})", "application/json", 400},
      {"i1/ack", "{\"by\":\"\xff\"}", "application/json", 400},
      {"i1/ack", long_note.c_str(), "application/json", 400},
      {"i1/ack", R"({"by":"robin","while":"x"})", "application/json", 400},
      {"i1/ack", R"({"by":"robin","for":"1h"})", "application/json", 400},
      {"i1/shelve", R"({"by":"robin"})", "application/json", 400},
      {"i1/shelve", R"({"by":"robin","for":"soon"})", "application/json", 400},
      {"i1/shelve", R"({"by":"robin","until":"tomorrow"})", "application/json", 400},
      {"i1/shelve", R"({"by":"robin","for":"1h","until":"2026-01-05T12:00:00Z"})", "application/json", 400},
      {"i1/ack?x=1", R"({"by":"robin"})", "application/json", 400},
      {"i9/ack", R"({"by":"robin"})", "application/json", 404},
      {"i1/mend", R"({"by":"robin"})", "application/json", 404},
  };
  for (const auto& row : rows) {
    CAPTURE(row.path, row.body, row.type);
    Desk desk;
    const auto response = desk.post(std::string("/v1/incidents/") + row.path, row.body, row.type);
    CHECK(response.status == row.status);
    CHECK_FALSE(response.later);
    CHECK(response.field("Content-Type") == "application/problem+json");
  }
}

TEST_CASE("a type with parameters and in any case is JSON too") {
  for (const auto* type : {"application/json; charset=utf-8", "Application/JSON", " application/json ;x=y"}) {
    http::Request request;
    request.content_type = type;
    CHECK(has_json(request));
  }
}

TEST_CASE("where nothing can be changed, a command gets 503") {
  Desk desk;
  http::Request request;
  request.method = "POST";
  request.target = "/v1/incidents/i1/ack";
  request.host = "localhost";
  request.content_type = "application/json";
  request.body = R"({"by":"robin"})";
  CHECK(respond(request, desk.board, {}).status == 503);
}

TEST_CASE("a hook's test is a command, and the answer waits for the receiver") {
  Desk desk;
  CHECK(desk.post("/v1/hooks/desk/test", "{}", "text/plain").status == 415);  // what a foreign page's form could send
  auto response = desk.post("/v1/hooks/desk/test", "{}");
  REQUIRE(response.later);
  std::vector<Response> answers;
  response.later([&](Response answer) { answers.push_back(std::move(answer)); });
  REQUIRE(desk.commands.tests.size() == 1);
  const auto& [hook, done] = desk.commands.tests.front();
  CHECK(hook == "desk");
  CHECK(answers.empty());
  done(std::string("HTTP status 204"));
  done(model::Error{model::Error::Kind::refused, "testing the hook", "desk", "HTTP status 404"});
  done(model::Error{model::Error::Kind::invalid, "testing the hook", "desk", "no hook of this name is configured"});
  REQUIRE(answers.size() == 3);
  CHECK(answers[0].status == 200);
  CHECK(answers[0].body.text() == R"({"hook":"desk","told":true,"receiver":"HTTP status 204"})");
  CHECK(answers[1].status == 200);
  CHECK(answers[1].body.text() == R"({"hook":"desk","told":false,"receiver":"HTTP status 404"})");
  CHECK(answers[2].status == 404);
}
