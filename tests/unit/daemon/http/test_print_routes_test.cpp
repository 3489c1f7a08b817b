// A test page, from the request to the command and back.
#include <catch2/catch.hpp>

#include "daemon/http/gate.h"
#include "daemon/http/routes.h"
#include "daemon/json/forms.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using http::Response;
using http::TestPrint;
using http::TestPrintOutcome;
using http::TestVerdict;
using json::Json;
using Kind = model::Error::Kind;

namespace {

struct Asked final : http::Commands {
  std::vector<std::pair<TestPrint, TestPrinted>> calls;
  void act(const std::string&, incidents::OperatorAction, Acted) override {}
  void test_hook(const std::string&, Tested) override {}
  void act_on_queue(http::QueueAct, QueueActed) override {}
  void test_print(TestPrint asked, TestPrinted done) override { calls.emplace_back(std::move(asked), std::move(done)); }
};

struct Trail final : http::AuditTrail {
  std::vector<model::AuditRecord> records;
  void record(model::AuditRecord record, std::function<void()> kept) override {
    records.push_back(std::move(record));
    if (kept) kept();
  }
  void read_audit(const model::AuditWindow&, Read) override {}
};

struct Desk {
  http::FleetBoard board{"run", {}};
  Asked commands;
  Trail trail;
  http::Gate gate{&trail};

  Desk() { board.configure(two_sites()); }

  Response post(std::string body, std::string device = "herbarium-copier", std::string type = "application/json") {
    http::Request request;
    request.method = "POST";
    request.target = "/v1/devices/" + device + "/testprint";
    request.host = "localhost";
    request.content_type = std::move(type);
    request.body = std::move(body);
    request.now = kEight;
    return respond(request, board, {}, &commands, &gate);
  }

  // The answer once the service says what came of it.
  Response answered(const std::string& body, const model::Result<TestPrintOutcome>& outcome) {
    const auto response = post(body);
    REQUIRE(response.later);
    std::optional<Response> answer;
    response.later([&](Response given) { answer = std::move(given); });
    CHECK_FALSE(answer);
    commands.calls.back().second(outcome);
    REQUIRE(answer);
    return *answer;
  }
};

TestPrintOutcome printed() {
  TestPrintOutcome outcome;
  outcome.asked = {"herbarium-copier", "1a2b3c4d", false, "robin", "new fuser"};
  outcome.page_id = "9z8y7x6w";
  outcome.to = "ipp://192.0.2.21/ipp/print";
  outcome.format = "application/pdf";
  outcome.job = 17;
  outcome.verdict = TestVerdict::printed;
  outcome.impressions_before = 100;
  outcome.impressions_after = 101;
  outcome.proved = {"1a2b3c4d"};
  outcome.said = "The page was printed.";
  return outcome;
}

}  // namespace

TEST_CASE("what is asked of a test page reaches the service as it was said") {
  Desk desk;
  const auto response = desk.post(R"({"dry_run":true,"incident":"1a2b3c4d","by":"robin","note":"new fuser"})");
  REQUIRE(response.later);
  response.later([](Response) {});
  REQUIRE(desk.commands.calls.size() == 1);
  const auto& asked = desk.commands.calls[0].first;
  CHECK(asked.device == "herbarium-copier");
  CHECK(asked.incident == "1a2b3c4d");
  CHECK(asked.dry_run);
  CHECK(asked.by == "robin");
  CHECK(asked.note == "new fuser");
}

TEST_CASE("a test page that makes no sense is refused before anything is printed") {
  Desk desk;
  CHECK(desk.post("{}", "library-copier").status == 404);
  CHECK(desk.post("{}", "herbarium-copier", "text/plain").status == 415);
  for (const auto* body : {"", "[]", R"({"dry_run":"yes"})", R"({"incident":7})", R"({"copies":2})"})
    CHECK(desk.post(body).status == 400);
  CHECK(desk.commands.calls.empty());
}

TEST_CASE("the answer tells the verdict with what led to it, and so does the audit trail") {
  Desk desk;
  const auto answer = desk.answered(R"({"by":"robin"})", printed());
  CHECK(answer.status == 200);
  CHECK(answer.body.text() ==
        R"({"device":"herbarium-copier","incident":"1a2b3c4d","dry_run":false,"page":"9z8y7x6w","way":"own-service",)"
        R"("to":"ipp://192.0.2.21/ipp/print","queue":null,"format":"application/pdf","job":17,"verdict":"printed",)"
        R"("reasons":[],"impressions_before":100,"impressions_after":101,"proved":["1a2b3c4d"],)"
        R"("said":"The page was printed."})");
  REQUIRE(desk.trail.records.size() == 1);
  const auto& record = desk.trail.records[0];
  CHECK(record.what == "device.testprint");
  CHECK(record.target == "herbarium-copier");
  CHECK(record.outcome == model::AuditRecord::Outcome::done);
  const auto detail = Json::parse(record.detail);
  CHECK(detail.at("verdict") == "printed");
  CHECK(detail.at("by") == "robin");
  CHECK(detail.at("note") == "new fuser");
}

TEST_CASE("a dry run has no verdict, and what was not tried is a problem by its kind") {
  Desk desk;
  auto dry = printed();
  dry.verdict.reset();
  CHECK(Json::parse(desk.answered("{}", dry).body.text()).at("verdict").is_null());
  const auto failed = [&](Kind kind) {
    return desk.answered("{}", model::Error{kind, "printing a test page", "herbarium-copier", "no way to it"}).status;
  };
  CHECK(failed(Kind::invalid) == 409);
  CHECK(failed(Kind::silent) == 504);
  CHECK(failed(Kind::refused) == 403);
  CHECK(failed(Kind::local) == 503);
  CHECK(desk.trail.records.back().outcome == model::AuditRecord::Outcome::failed);
  CHECK(desk.trail.records.back().reason == "no way to it");
}

TEST_CASE("every verdict and every way has a word of its own") {
  std::set<std::string_view> words;
  for (const auto verdict :
       {TestVerdict::printed, TestVerdict::completed_uncounted, TestVerdict::stopped, TestVerdict::aborted,
        TestVerdict::canceled, TestVerdict::timed_out, TestVerdict::not_taken})
    words.insert(to_text(verdict));
  CHECK(words == std::set<std::string_view>{"printed", "completed-uncounted", "stopped", "aborted", "canceled",
                                            "timed-out", "not-taken"});
  using Way = TestPrintOutcome::Way;
  CHECK(to_text(Way::own_service) == "own-service");
  CHECK(to_text(Way::queue) == "queue");
  CHECK(to_text(Way::raw_port) == "raw-port");
}

TEST_CASE("event streams hear what became of a test page") {
  Desk desk;
  const auto before = desk.board.events().newest();
  desk.board.publish_test_print(printed(), kEight);
  const auto batch = desk.board.events().after(before, 1 << 16);
  REQUIRE(batch);
  CHECK_THAT(batch->text, Catch::Matchers::Contains("event: testprint\n"));
  CHECK_THAT(batch->text, Catch::Matchers::Contains(R"("verdict":"printed")"));
}
