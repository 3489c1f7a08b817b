// What the verb `queue` asks the daemon, and when it asks a person first.
#include "fixture.h"

namespace frisket::client {
namespace {

Request acting(std::string act) {
  Request request;
  request.verb = Verb::queue;
  request.subject = "herbarium/1";
  request.act = std::move(act);
  return request;
}

Request cancelling_what_waits() {
  Request request = acting("cancel");
  request.waiting = true;
  return request;
}

const std::string kCancelPath = "/v1/queues/herbarium%2F1/cancel";

}  // namespace

TEST_CASE("each act is posted to its own path with what it is about, by the user who runs the program") {
  struct Row {
    Request request;
    const char* path;
    const char* body;
  };
  Request noted = acting("pause");
  noted.by = "moss";
  noted.note = "the fuser is being changed";
  Request head = acting("cancel");
  head.head = true;
  Request one = acting("cancel");
  one.job = 412;
  Request all = cancelling_what_waits();
  all.dry_run = true;
  Request move = acting("move");
  move.to = "library";
  move.yes = true;
  Request restart = acting("restart");
  restart.yes = true;
  for (const Row& row : {Row{noted, "pause", R"({"dry_run":false,"by":"moss","note":"the fuser is being changed"})"},
                         Row{acting("resume"), "resume", R"({"dry_run":false,"by":"robin"})"},
                         Row{head, "cancel", R"({"dry_run":false,"by":"robin","head":true})"},
                         Row{one, "cancel", R"({"dry_run":false,"by":"robin","job":412})"},
                         Row{all, "cancel", R"({"dry_run":true,"by":"robin","waiting":true})"},
                         Row{move, "move", R"({"dry_run":false,"by":"robin","to":"library"})"},
                         Row{restart, "restart", R"({"dry_run":false,"by":"robin"})"}}) {
    Run run;
    const std::string path = std::string("/v1/queues/herbarium%2F1/") + row.path;
    run.server.serve(path, kCancelled);
    CHECK(run(row.request) == ExitStatus::done);
    CHECK(run.server.asked == std::vector<std::string>{path});
    CHECK(run.server.posted == std::vector<std::string>{row.body});
  }
}

TEST_CASE("before jobs can be lost the dry run is shown and a yes is needed") {
  for (const bool yes : {true, false}) {
    Run run;
    run.server.serve_in_turn(kCancelPath, {kWouldCancel, kCancelled});
    std::string question;
    run.ask = [&](const std::string& shown) {
      question = shown;
      return yes;
    };
    CHECK(run(cancelling_what_waits()) == (yes ? ExitStatus::done : ExitStatus::usage));
    CHECK(question == R"(Nothing is done yet. 1 waiting job would be cancelled.
  JOB  STATE    AGE    SIZE    OWNER  NAME
  412  pending  1 min  12 KiB  moss   Seed list
Do it? Type yes: )");
    REQUIRE(run.server.posted.size() == (yes ? 2U : 1U));
    CHECK(run.server.posted[0] == R"({"dry_run":true,"by":"robin","waiting":true})");
    if (yes) CHECK(run.server.posted[1] == R"({"dry_run":false,"by":"robin","waiting":true})");
    CHECK(run.out.empty() == !yes);
    CHECK(run.err == (yes ? "" : "frisket: cancel of herbarium/1: nothing was done\n"));
  }
}

TEST_CASE("where nobody can be asked, what can lose jobs is refused with 2 unless it says --yes or --dry-run") {
  Request move = acting("move");
  move.to = "library";
  for (const Request& request : {cancelling_what_waits(), move, acting("restart")})
    for (const bool json : {false, true}) {
      Run run;
      Request asked = request;
      asked.json = json;
      CHECK(run(asked) == ExitStatus::usage);
      CHECK(run.server.posted.empty());
      CHECK(run.out.empty());
      CHECK(run.err.find("say --yes to do it, or --dry-run to see what it would do") != std::string::npos);
    }
}

TEST_CASE("--yes asks nobody, and what loses nothing else is done without a question") {
  Request yes = cancelling_what_waits();
  yes.yes = true;
  Request dry = cancelling_what_waits();
  dry.dry_run = true;
  Request one = acting("cancel");
  one.job = 412;
  for (const Request& request : {yes, dry, one}) {
    Run run;
    run.server.serve(kCancelPath, kCancelled);
    run.ask = [](const std::string&) {
      FAIL("asked");
      return false;
    };
    CHECK(run(request) == ExitStatus::done);
    CHECK(run.server.posted.size() == 1);
  }
}

TEST_CASE("a dry run that fails ends the act, and nobody is asked") {
  Run run;
  run.server.serve(kCancelPath, R"({"title": "Gateway Timeout", "detail": "the spooler does not answer"})", 504);
  run.ask = [](const std::string&) {
    FAIL("asked");
    return true;
  };
  CHECK(run(cancelling_what_waits()) == ExitStatus::unreachable);
  CHECK(run.server.posted.size() == 1);
  CHECK(run.err.find("the spooler does not answer") != std::string::npos);
}

TEST_CASE("how an act ends says who would not do it") {
  struct Row {
    int http;
    ExitStatus status;
  };
  for (const Row& row :
       {Row{400, ExitStatus::usage}, Row{404, ExitStatus::usage}, Row{409, ExitStatus::usage},
        Row{401, ExitStatus::refused}, Row{403, ExitStatus::refused}, Row{502, ExitStatus::unreachable},
        Row{503, ExitStatus::unreachable}, Row{504, ExitStatus::unreachable}}) {
    Run run;
    run.server.serve("/v1/queues/herbarium%2F1/pause", R"({"title": "No", "detail": "because"})", row.http);
    CHECK(run(acting("pause")) == row.status);
    CHECK(run.out.empty());
    const std::string hint = row.http == 401 ? " (shown by --token-file FILE)" : "";
    CHECK(run.err ==
          "frisket: asking http://127.0.0.1:9640: status " + std::to_string(row.http) + ", No: because" + hint + "\n");
  }
}

TEST_CASE("a job that the queue would not take is told, and the act ends with 4") {
  for (const bool json : {false, true}) {
    Run run;
    run.server.serve(kCancelPath, R"({"what": "cancel-job", "queue": "herbarium/1", "dry_run": false, "said": "No job.",
        "jobs": [{"id": 412, "state": "pending", "done": false, "trouble": "not-authorized"}]})");
    Request request = acting("cancel");
    request.job = 412;
    request.json = json;
    CHECK(run(request) == ExitStatus::refused);
    CHECK(run.out.find("not-authorized") != std::string::npos);
  }
}

TEST_CASE("an outcome of the wrong shape is nonsense, and is not taken for done") {
  for (const char* body : {"{}", "[]", R"({"said": "done"})", R"({"said": "done", "dry_run": "no"})",
                           R"({"said": "done", "dry_run": false, "jobs": [7]})",
                           R"({"said": "done", "dry_run": false, "jobs": [{"state": "pending"}]})"}) {
    Run run;
    run.server.serve("/v1/queues/herbarium%2F1/resume", body);
    INFO(body);
    CHECK(run(acting("resume")) == ExitStatus::unreachable);
    CHECK(run.out.empty());
  }
}

}  // namespace frisket::client
