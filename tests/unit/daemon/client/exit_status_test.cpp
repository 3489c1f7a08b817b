#include "upkeep_fixture.h"

namespace frisket::client {
namespace {

Request asking(Verb verb) {
  Request request;
  request.verb = verb;
  request.subject = verb == Verb::device ? "herbarium-copier" : "17";
  request.duration = verb == Verb::shelve ? "8h" : "";
  return request;
}

void serve_garden(FakeServer& server) {
  server.serve("/v1/fleet", kFleet);
  server.serve("/v1/devices", list_of({kCopier, kSeedPrinter}));
  server.serve("/v1/devices/herbarium-copier", kCopier);
  server.serve("/v1/supplies", list_of({}));
  serve_queue(server);
  serve_upkeep(server);
  for (const char* path : {"", "/ack", "/shelve", "/close", "/take-back"})
    server.serve(std::string("/v1/incidents/17") + path, kJam);
  server.serve("/v1/hooks/17/test", R"({"hook": "17", "told": true, "receiver": "HTTP status 204"})");
  server.serve("/v1/devices/17/testprint", kTestPrinted);
  server.serve(kOpenIncidents, list_of({kLowToner, kJam}));
  server.serve(kOpenIncidents + "&device=herbarium-copier", list_of({kLowToner, kJam}));
}

const char* path_of(Verb verb) {
  switch (verb) {
    case Verb::status:
      return "/v1/fleet";
    case Verb::devices:
      return "/v1/devices";
    case Verb::device:
      return "/v1/devices/herbarium-copier";
    case Verb::supplies:
      return "/v1/supplies";
    case Verb::queues:
      return "/v1/queues";
    case Verb::queue:
      return "/v1/queues/17";
    case Verb::incidents:
      return kOpenIncidents.c_str();
    case Verb::incident:
      return "/v1/incidents/17";
    case Verb::ack:
      return "/v1/incidents/17/ack";
    case Verb::shelve:
      return "/v1/incidents/17/shelve";
    case Verb::close:
      return "/v1/incidents/17/close";
    case Verb::take_back:
      return "/v1/incidents/17/take-back";
    case Verb::testprint:
      return "/v1/devices/17/testprint";
    case Verb::order:
      return "/v1/order?wanted=true";
    case Verb::stock:
      return "/v1/stock";
    case Verb::round:
      return "/v1/round";
    case Verb::upkeep:
      return kPlanPath.c_str();
    case Verb::complain:
      return "/v1/complaints?device=17";
    case Verb::meter:
      return "/v1/meter";
    case Verb::reliability:
      return "/v1/reliability";
    case Verb::history:
      return "/v1/devices/17/history";
    case Verb::hook_test:
      return "/v1/hooks/17/test";
    case Verb::watch:
      break;
  }
  return "";
}

constexpr Verb kAsking[] = {Verb::status,  Verb::devices,    Verb::device,    Verb::supplies,  Verb::queues,
                            Verb::queue,   Verb::incidents,  Verb::incident,  Verb::ack,       Verb::shelve,
                            Verb::close,   Verb::take_back,  Verb::testprint, Verb::hook_test, Verb::order,
                            Verb::stock,   Verb::round,      Verb::upkeep,    Verb::complain,  Verb::meter,
                            Verb::history, Verb::reliability};

}  // namespace

TEST_CASE("a verb that was answered ends with 0, on a terminal, in a pipe and as JSON") {
  for (const Verb verb : kAsking)
    for (const bool terminal : {false, true})
      for (const bool json : {false, true}) {
        Run run;
        serve_garden(run.server);
        run.terminal = terminal;
        Request request = asking(verb);
        request.json = json;
        CHECK(run(request) == ExitStatus::done);
        CHECK_FALSE(run.out.empty());
        // Only who may wait for minutes in front of a screen is told so.
        CHECK(run.err.empty() == !(verb == Verb::testprint && terminal && !json));
      }
}

TEST_CASE("what the daemon says decides how a verb ends, whatever the format") {
  struct Row {
    int http;
    ExitStatus status;
  };
  const Row rows[] = {{401, ExitStatus::refused},     {403, ExitStatus::refused},     {400, ExitStatus::usage},
                      {404, ExitStatus::usage},       {421, ExitStatus::usage},       {429, ExitStatus::refused},
                      {500, ExitStatus::unreachable}, {503, ExitStatus::unreachable}, {204, ExitStatus::unreachable},
                      {302, ExitStatus::unreachable}, {0, ExitStatus::unreachable}};
  for (const Verb verb : kAsking)
    for (const Row& row : rows)
      for (const bool json : {false, true}) {
        Run run;
        serve_garden(run.server);
        run.server.serve(path_of(verb), R"({"title": "No", "detail": "because"})", row.http);
        Request request = asking(verb);
        request.json = json;
        INFO(path_of(verb) << " " << row.http);
        CHECK(run(request) == row.status);
        CHECK(run.out.empty());
        const std::string how = row.http == 401 ? " (shown by --token-file FILE)" : "";
        CHECK(run.err == "frisket: asking http://127.0.0.1:9640: status " + std::to_string(row.http) + ", No: because" +
                             how + "\n");
      }
}

TEST_CASE("a daemon that cannot be reached is 3, whatever was asked") {
  for (const Verb verb : kAsking) {
    Run run;
    run.server.fail(path_of(verb), model::Error::Kind::silent);
    CHECK(run(asking(verb)) == ExitStatus::unreachable);
    CHECK(run.err == "frisket: asking http://127.0.0.1:9640: it went wrong\n");
  }
}

TEST_CASE("an answer of the wrong shape is one sentence and 3, whatever the format") {
  for (const Verb verb : kAsking)
    for (const char* body : {"", "null", "[]", "5", "\"x\"", "{}", R"({"items": 7})", R"({"devices": []})",
                             R"({"items": [{"name": {}}]})", "<!doctype html>", "{\"a\":\xff}"})
      for (const bool json : {false, true}) {
        Run run;
        serve_garden(run.server);
        run.server.serve(path_of(verb), body);
        Request request = asking(verb);
        request.json = json;
        INFO(path_of(verb) << " " << body);
        CHECK(run(request) == ExitStatus::unreachable);
        CHECK(run.out.empty());
        CHECK(std::count(run.err.begin(), run.err.end(), '\n') == 1);
      }
}

TEST_CASE("status ends with 1 exactly when something at or above --fail-on is open") {
  struct Row {
    std::vector<std::string> open;
    std::optional<Severity> fail_on;
    ExitStatus status;
  };
  const std::vector<Row> rows = {
      {{kJam, kLowToner}, std::nullopt, ExitStatus::done},
      {{kJam, kLowToner}, Severity::critical, ExitStatus::open},
      {{kJam, kLowToner}, Severity::warning, ExitStatus::open},
      {{kLowToner}, Severity::critical, ExitStatus::done},
      {{kLowToner}, Severity::minor, ExitStatus::done},
      {{kLowToner}, Severity::warning, ExitStatus::open},
      {{}, Severity::warning, ExitStatus::done},
  };
  for (const Row& row : rows)
    for (const bool json : {false, true}) {
      Run run;
      serve_garden(run.server);
      run.server.serve(kOpenIncidents, list_of(row.open));
      Request request = asking(Verb::status);
      request.fail_on = row.fail_on;
      request.json = json;
      CHECK(run(request) == row.status);
      CHECK_FALSE(run.out.empty());
    }
}

TEST_CASE("a hook that was not told its test ends with 3 and says why, whatever the format") {
  for (const bool json : {false, true}) {
    Run run;
    run.server.serve("/v1/hooks/17/test", R"({"hook": "17", "told": false, "receiver": "HTTP status \u001b404"})");
    Request request = asking(Verb::hook_test);
    request.json = json;
    CHECK(run(request) == ExitStatus::unreachable);
    if (!json) CHECK(run.out == "17 not told: HTTP status 404\n");
    CHECK(run.out.find('\x1b') == std::string::npos);
  }
}

TEST_CASE("an unknown device, incident or site is a usage error that says so") {
  Run run;
  serve_garden(run.server);
  Request request = asking(Verb::device);
  request.subject = "no such/device";
  CHECK(run(request) == ExitStatus::usage);
  CHECK(run.server.asked.back() == "/v1/devices/no%20such%2Fdevice");
  CHECK(run.err == "frisket: asking http://127.0.0.1:9640: status 404, Not Found: nothing of this name\n");

  request = asking(Verb::status);
  request.site = "orangery";
  CHECK(run(request) == ExitStatus::usage);
  CHECK(run.err == "frisket: looking for the site: no site is called 'orangery'\n");
}

TEST_CASE("filters go to the daemon in its words") {
  Run run;
  Request request = asking(Verb::incidents);
  request.severity = Severity::major;
  request.site = "seed bank";
  request.kind = "media-jam";
  request.device = "palm";
  request.queue = "herbarium";
  (void)run(request);
  CHECK(run.server.asked.back() ==
        kOpenIncidents + "&severity=critical%2Cmajor&site=seed%20bank&kind=media-jam&device=palm&queue=herbarium");
  request = asking(Verb::incidents);
  request.all = true;
  (void)run(request);
  CHECK(run.server.asked.back() == "/v1/incidents");
  request = asking(Verb::supplies);
  request.low = true;
  (void)run(request);
  CHECK(run.server.asked.back() == "/v1/supplies?low=true");
  request = asking(Verb::devices);
  request.state = "silent";
  (void)run(request);
  CHECK(run.server.asked.back() == "/v1/devices?state=silent");
  request = asking(Verb::queues);
  request.state = "stopped";
  request.site = "seed bank";
  request.device = "palm";
  request.spooler = "office";
  (void)run(request);
  CHECK(run.server.asked.back() == "/v1/queues?site=seed%20bank&state=stopped&device=palm&spooler=office");
}

TEST_CASE("--json prints what was served, with every part of a list and the fields in their order") {
  Run run;
  run.server.serve("/v1/devices", R"({"items":[{"name":"b","zone":1,"area":2}],"next":"b"})");
  run.server.serve("/v1/devices?after=b", R"({"items":[{"name":"a"}],"next":null})");
  Request request = asking(Verb::devices);
  request.json = true;
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.out == R"({
  "items": [
    {
      "name": "b",
      "zone": 1,
      "area": 2
    },
    {
      "name": "a"
    }
  ],
  "next": null
}
)");
}

TEST_CASE("output that cannot be written is an error and not a success") {
  FakeServer server;
  serve_garden(server);
  FakePause pause(1);
  std::ostringstream out;
  std::ostringstream err;
  out.setstate(std::ios::badbit);
  Surroundings around{.server = server,
                      .pause = pause,
                      .out = out,
                      .err = err,
                      .now = [] { return at("2026-11-25T08:37:00Z"); },
                      .zone = one_hour_east()};
  CHECK(run(asking(Verb::devices), around) == ExitStatus::usage);
  CHECK(err.str() == "frisket: standard output cannot be written\n");
}

}  // namespace frisket::client
