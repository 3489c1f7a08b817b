// What the verb `testprint` asks, says while it waits, prints, and ends with.
#include "daemon/client/test_print_verb.h"

#include "fixture.h"

namespace frisket::client {
namespace {

Request asking() {
  Request request;
  request.verb = Verb::testprint;
  request.subject = "herbarium copier";
  return request;
}

const std::string kPath = "/v1/devices/herbarium%20copier/testprint";

std::string ended(const std::string& verdict) {
  return R"({"device": "herbarium-copier", "dry_run": false, "verdict": ")" + verdict + R"(", "said": "So it was."})";
}

}  // namespace

TEST_CASE("a test page is asked for with its incident, by the user who runs the program, and the wait is announced") {
  Run run;
  run.terminal = true;
  run.server.serve(kPath, kTestPrinted);
  Request request = asking();
  request.incident = "17";
  request.note = "new fuser";
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.server.asked == std::vector<std::string>{kPath});
  CHECK(run.server.posted.at(0) == R"({"dry_run":false,"by":"robin","note":"new fuser","incident":"17"})");
  CHECK(run.err ==
        "frisket: a test page is sent to herbarium copier; whether it is printed can take some minutes to know\n");
  CHECK(run.out == "herbarium-copier: printed. The page was printed: the page counter rose from\n120345 to 120346.\n");
}

TEST_CASE("a dry run announces nothing and has no verdict") {
  Run run;
  run.terminal = true;
  run.server.serve(kPath, R"({"device": "herbarium-copier", "dry_run": true, "said": "A page would go there."})");
  Request request = asking();
  request.dry_run = true;
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.server.posted.at(0) == R"({"dry_run":true,"by":"robin"})");
  CHECK(run.err.empty());
  CHECK(run.out == "herbarium-copier: nothing is printed yet. A page would go there.\n");
}

TEST_CASE("a page that did not come out ends with 1, one that did with 0, whatever the format") {
  for (const bool json : {false, true}) {
    const auto status = [json](const char* verdict) {
      Run run;
      run.server.serve(kPath, ended(verdict));
      Request request = asking();
      request.json = json;
      return run(request);
    };
    for (const char* verdict : {"printed", "completed-uncounted"}) CHECK(status(verdict) == ExitStatus::done);
    for (const char* verdict : {"stopped", "aborted", "canceled", "timed-out", "not-taken", "unheard-of"})
      CHECK(status(verdict) == ExitStatus::open);
  }
}

TEST_CASE("piped, each field has a line; a refusal and an answer without a verdict are errors") {
  Run run;
  run.server.serve(kPath, kTestPrinted);
  CHECK(run(asking()) == ExitStatus::done);
  CHECK_THAT(run.out, Catch::Matchers::StartsWith("field\tvalue\ndevice\therbarium-copier\nincident\t17\n"));
  CHECK_THAT(run.out, Catch::Matchers::Contains("verdict\tprinted\n") && Catch::Matchers::Contains("proved\t17\n"));

  run.server.serve(kPath, R"({"detail": "no way to this device is configured"})", 409);
  CHECK(run(asking()) == ExitStatus::usage);
  CHECK_THAT(run.err, Catch::Matchers::Contains("no way to this device is configured"));

  run.server.serve(kPath, R"({"device": "herbarium-copier", "dry_run": false, "said": "?"})");
  CHECK(run(asking()) == ExitStatus::unreachable);
}

}  // namespace frisket::client
