// What can be read of queues, and what a person asks of them, from the request to the command and back.
#include <catch2/catch.hpp>

#include "daemon/http/routes.h"
#include "daemon/json/forms.h"
#include "queues.h"

using namespace frisket;
using namespace frisket::testing;
using http::QueueAct;
using http::QueueActOutcome;
using http::Response;
using json::Json;
using model::Error;

namespace {

struct Asked final : http::Commands {
  std::vector<std::pair<QueueAct, QueueActed>> calls;
  void act(const std::string&, incidents::OperatorAction, Acted) override {}
  void test_hook(const std::string&, Tested) override {}
  void act_on_queue(QueueAct act, QueueActed done) override { calls.emplace_back(std::move(act), std::move(done)); }
  void test_print(http::TestPrint, TestPrinted) override {}
};

struct Desk {
  http::FleetBoard board{"run", {}};
  Asked commands;
  bool over_unix_socket = false;

  Desk() {
    board.configure(two_sites());
    auto said = idle_queue();
    said.jobs = {job(11, model::JobState::processing), job(12)};
    auto herbarium = queue("herbarium", said);
    herbarium.device = "herbarium-copier";
    board.publish_queue(herbarium, kEight);
    board.publish_queue(queue("seeds/label", idle_queue(), "alpine-house"), kEight);
  }

  Response ask(std::string target, std::string method = "GET", std::string body = "",
               std::string type = "application/json") {
    http::Request request;
    request.method = std::move(method);
    request.target = std::move(target);
    request.host = "localhost";
    request.content_type = std::move(type);
    request.body = std::move(body);
    request.origin.unix_socket = over_unix_socket;
    request.now = kEight;
    return respond(request, board, {}, &commands);
  }

  Json json_of(std::string target) {
    const auto response = ask(std::move(target));
    REQUIRE(response.status == 200);
    CHECK(response.field("Content-Type") == "application/json");
    return Json::parse(response.body.text());
  }

  Response post(const std::string& path, std::string body) {
    return ask("/v1/queues/" + path, "POST", std::move(body));
  }

  // The act that a well said request asks for.
  QueueAct asked(const std::string& path, const std::string& body) {
    const auto response = post(path, body);
    CAPTURE(path, body, response.body.text());
    REQUIRE(response.later);
    response.later([](Response) {});
    return commands.calls.back().first;
  }

  // The answer once the service says what came of it.
  Response answered(const model::Result<QueueActOutcome>& outcome) {
    const auto response = post("herbarium/pause", "{}");
    REQUIRE(response.later);
    std::optional<Response> answer;
    response.later([&](Response given) { answer = std::move(given); });
    CHECK_FALSE(answer);
    commands.calls.back().second(outcome);
    REQUIRE(answer);
    return *answer;
  }
};

std::size_t count_of(Desk& desk, const std::string& target) { return desk.json_of(target).at("items").size(); }

}  // namespace

TEST_CASE("queues are listed, found by name and by filter, and a misspelt filter is refused") {
  Desk desk;
  CHECK(count_of(desk, "/v1/queues") == 2);
  CHECK(count_of(desk, "/v1/queues?site=alpine-house") == 1);
  CHECK(count_of(desk, "/v1/queues?device=herbarium-copier") == 1);
  CHECK(count_of(desk, "/v1/queues?spooler=office") == 0);
  CHECK(count_of(desk, "/v1/queues?state=idle,stopped&accepting=true") == 2);
  CHECK(count_of(desk, "/v1/queues?state=silent") == 0);
  CHECK(desk.json_of("/v1/queues?limit=1").at("next") == "herbarium");
  CHECK(desk.json_of("/v1/queues/seeds%2Flabel").at("name") == "seeds/label");
  CHECK(desk.json_of("/v1/queues/herbarium").at("state") == "idle");

  for (const auto* target : {"/v1/queues?state=red", "/v1/queues?colour=red", "/v1/queues?accepting=maybe",
                             "/v1/queues?limit=0", "/v1/queues/herbarium?x=1", "/v1/queues/herbarium/jobs?limit=1"})
    CHECK(desk.ask(target).status == 400);
  CHECK(Json::parse(desk.ask("/v1/queues?state=red").body.text()).at("detail") ==
        "parameter state is 'red'; allowed: idle, processing, stopped, absent, silent, refused, nonsense, unknown");
  CHECK(desk.ask("/v1/queues/library").status == 404);
  CHECK(desk.ask("/v1/queues/library/jobs").status == 404);
  CHECK(desk.ask("/v1/queues/herbarium/pages").status == 404);
  CHECK(desk.ask("/v1/queues/herbarium/pause").status == 405);
}

TEST_CASE("nothing can be done to a queue that is only read, and the answer says why") {
  Desk desk;
  auto old = queue("old", idle_queue());
  old.read_only = "it is known by LPD only, which is read and never changed";
  desk.board.publish_queue(old, kEight);
  CHECK(desk.json_of("/v1/queues/old").at("read_only") == true);
  CHECK(desk.json_of("/v1/queues/herbarium").at("read_only") == false);
  for (const auto* act : {"old/pause", "old/resume", "old/restart"}) {
    const auto response = desk.post(act, "{}");
    CHECK(response.status == 409);
    CHECK(Json::parse(response.body.text()).at("detail") ==
          "nothing can be done to this queue: it is known by LPD only, which is read and never changed");
  }
  CHECK(desk.commands.calls.empty());
}

TEST_CASE("over TCP no answer about a queue tells who prints what; over the UNIX socket its jobs do") {
  Desk desk;
  for (const auto* target : {"/v1/queues", "/v1/queues/herbarium", "/v1/queues/herbarium/jobs"}) {
    const auto body = desk.ask(target).body.text();
    CHECK(body.find("Payslip") == std::string::npos);
    CHECK(body.find("robin") == std::string::npos);
  }
  desk.over_unix_socket = true;
  const auto jobs = desk.json_of("/v1/queues/herbarium/jobs");
  CHECK(jobs.at("items").at(0).at("name") == "Payslip of 11");
  CHECK(jobs.at("items").at(0).at("owner") == "robin");
  CHECK(desk.ask("/v1/queues/herbarium").body.text().find("Payslip") == std::string::npos);
}

TEST_CASE("incidents are found by their queue") {
  Desk desk;
  auto stuck = incident("i1", model::Severity::major);
  stuck.device.reset();
  stuck.queue = "herbarium";
  desk.board.publish_transition(raised(stuck));
  desk.board.publish_transition(raised(incident("i2", model::Severity::major)));
  CHECK(count_of(desk, "/v1/incidents") == 2);
  CHECK(count_of(desk, "/v1/incidents?queue=herbarium") == 1);
  CHECK(count_of(desk, "/v1/incidents?queue=seeds") == 0);
}

TEST_CASE("each path asks for its own act") {
  using What = QueueAct::What;
  Desk desk;
  auto act = desk.asked("herbarium/pause", R"({"by":"robin","note":"the fuser is hot"})");
  CHECK(act.what == What::pause);
  CHECK(act.queue == "herbarium");
  CHECK(act.by == "robin");
  CHECK(act.note == "the fuser is hot");
  CHECK_FALSE(act.dry_run);
  CHECK(desk.asked("seeds%2Flabel/resume", R"({"dry_run":true})").queue == "seeds/label");
  CHECK(desk.commands.calls.back().first.what == What::resume);
  CHECK(desk.commands.calls.back().first.dry_run);
  CHECK(desk.asked("herbarium/restart", "{}").what == What::restart);

  act = desk.asked("herbarium/cancel", R"({"job":2147483647})");
  CHECK(act.what == What::cancel_job);
  CHECK(act.job == 2147483647);
  act = desk.asked("herbarium/cancel", R"({"head":true,"waiting":false,"job":null})");
  CHECK(act.what == What::cancel_job);
  CHECK_FALSE(act.job);
  act = desk.asked("herbarium/cancel", R"({"waiting":true,"dry_run":true})");
  CHECK(act.what == What::cancel_waiting);
  CHECK(act.dry_run);

  act = desk.asked("herbarium/move", R"({"to":"library"})");
  CHECK(act.what == What::move_waiting);
  CHECK(act.to == "library");
}

TEST_CASE("an act that is not well said is refused with what is allowed, and nothing is asked") {
  struct Row {
    const char* path;
    const char* body;
    unsigned status;
    const char* says;
  };
  const auto* one_of = "exactly one of job, head and waiting says what is to be cancelled";
  const auto* whole = "job must be a job's id, a whole number from 1 to 2147483647";
  const Row rows[] = {
      {"herbarium/pause", "", 400, "the body is no JSON object"},
      {"herbarium/pause", "[]", 400, "the body is no JSON object"},
      {"herbarium/pause", R"({"dry_run":"yes"})", 400, "dry_run must be true or false"},
      {"herbarium/pause", R"({"dry_run":1})", 400, "dry_run must be true or false"},
      {"herbarium/pause", R"({"by":7})", 400, "by must be a text"},
      {"herbarium/pause", R"({"note":"a\u001b[2Jb"})", 400, "note contains control characters"},
      {"herbarium/pause", R"({"dryrun":true})", 400,
       "the body has a member that means nothing here; allowed: dry_run, by, note"},
      {"herbarium/pause", R"({"job":1})", 400,
       "the body has a member that means nothing here; allowed: dry_run, by, note"},
      {"herbarium/resume", R"({"to":"x"})", 400,
       "the body has a member that means nothing here; allowed: dry_run, by, note"},
      {"herbarium/cancel", "{}", 400, one_of},
      {"herbarium/cancel", R"({"head":false})", 400, one_of},
      {"herbarium/cancel", R"({"head":true,"waiting":true})", 400, one_of},
      {"herbarium/cancel", R"({"job":3,"head":true})", 400, one_of},
      {"herbarium/cancel", R"({"job":0})", 400, whole},
      {"herbarium/cancel", R"({"job":-1})", 400, whole},
      {"herbarium/cancel", R"({"job":1.5})", 400, whole},
      {"herbarium/cancel", R"({"job":"1"})", 400, whole},
      {"herbarium/cancel", R"({"job":2147483648})", 400, whole},
      {"herbarium/cancel", R"({"job":18446744073709551615})", 400, whole},
      {"herbarium/cancel", R"({"job":99999999999999999999})", 400, whole},
      {"herbarium/cancel", R"({"head":1})", 400, "head must be true or false"},
      {"herbarium/cancel", R"({"waiting":"all"})", 400, "waiting must be true or false"},
      {"herbarium/move", "{}", 400, "to must name the queue that takes the jobs"},
      {"herbarium/move", R"({"to":["x"]})", 400, "to must be a text"},
      {"herbarium/move", R"({"to":"herbarium"})", 400, "to names the queue that the jobs are on already"},
      {"herbarium/restart", R"({"waiting":true})", 400,
       "the body has a member that means nothing here; allowed: dry_run, by, note"},
      {"herbarium/pause?x=1", "{}", 400, "no parameter 'x' here; allowed: none"},
      {"library/pause", "{}", 404, "no queue of this name is known"},
      {"herbarium/purge", "{}", 404, "nothing is served under this path"},
  };
  for (const auto& row : rows) {
    CAPTURE(row.path, row.body);
    Desk desk;
    const auto response = desk.post(row.path, row.body);
    CHECK(response.status == row.status);
    CHECK(Json::parse(response.body.text()).at("detail") == row.says);
    CHECK_FALSE(response.later);
    CHECK(desk.commands.calls.empty());
  }
  Desk desk;
  CHECK(desk.ask("/v1/queues/herbarium/pause", "POST", "{}", "text/plain").status == 415);
}

TEST_CASE("where nothing can be changed, an act gets 503") {
  Desk desk;
  http::Request request;
  request.method = "POST";
  request.target = "/v1/queues/herbarium/pause";
  request.host = "localhost";
  request.content_type = "application/json";
  request.body = "{}";
  CHECK(respond(request, desk.board, {}).status == 503);
}

TEST_CASE("what came of an act is told with every job, and with names only to who may know them") {
  QueueActOutcome outcome;
  outcome.act.what = QueueAct::What::cancel_waiting;
  outcome.act.queue = "herbarium";
  outcome.jobs = {{job(12), true, ""}, {job(13), false, "not-possible"}};
  outcome.said = "1 of 2 waiting jobs was cancelled.";
  outcome.afterwards = "Jobs flow.";
  Desk desk;
  const auto answer = desk.answered(outcome);
  CHECK(answer.status == 200);
  const auto* expected = R"({"what":"cancel-waiting","queue":"herbarium","dry_run":false,"jobs":[
      {"id":12,"state":"pending","reasons":[],"age_seconds":60,"processing_seconds":null,"k_octets":null,
       "impressions":null,"impressions_completed":null,"priority":null,"name":null,"owner":null,"done":true,"trouble":""},
      {"id":13,"state":"pending","reasons":[],"age_seconds":60,"processing_seconds":null,"k_octets":null,
       "impressions":null,"impressions_completed":null,"priority":null,"name":null,"owner":null,"done":false,
       "trouble":"not-possible"}],
      "said":"1 of 2 waiting jobs was cancelled.","afterwards":"Jobs flow.","personal":false})";
  CHECK(Json::parse(answer.body.text()) == Json::parse(expected));

  desk.over_unix_socket = true;
  const auto told = Json::parse(desk.answered(outcome).body.text());
  CHECK(told.at("jobs").at(0).at("owner") == "robin");
  CHECK(told.at("jobs").at(0).at("name") == "Payslip of 12");
}

TEST_CASE("why an act could not be done has a status of its own") {
  struct Row {
    Error::Kind kind;
    unsigned status;
  };
  for (const auto& row :
       {Row{Error::Kind::invalid, 409}, Row{Error::Kind::refused, 403}, Row{Error::Kind::unknown_user, 403},
        Row{Error::Kind::wrong_key, 403}, Row{Error::Kind::nonsense, 502}, Row{Error::Kind::silent, 504},
        Row{Error::Kind::local, 503}}) {
    Desk desk;
    const auto answer = desk.answered(Error{row.kind, "pausing", "herbarium", "the spooler says no"});
    CHECK(answer.status == row.status);
    CHECK(answer.field("Content-Type") == "application/problem+json");
    CHECK(Json::parse(answer.body.text()).at("detail") == "the spooler says no");
  }
}
