#include "daemon/client/watch.h"

#include "fixture.h"

namespace frisket::client {
namespace {

std::string notice(const std::string& id, const char* what, const char* incident) {
  std::string one_line = incident;
  std::erase(one_line, '\n');
  return "id: " + id + "\nevent: notice\ndata: {\"notice\": \"" + what +
         "\", \"at\": \"2026-11-25T08:12:00.000Z\", \"incident\": " + one_line + "}\n\n";
}

Request watching(bool json = false) {
  Request request;
  request.verb = Verb::watch;
  request.json = json;
  return request;
}

model::Error broken() {
  return {.kind = model::Error::Kind::silent, .doing = "asking the daemon", .whom = "", .what = "connection reset"};
}

using std::chrono::milliseconds;

}  // namespace

TEST_CASE("each change is one line on a terminal, and Ctrl-C ends with 0") {
  Run run;
  run.terminal = true;
  run.pause = FakePause(0);
  run.server.stream({"retry: 2000\n\n" + notice("1", "raised", kJam), notice("2", "cleared", kSilent)});
  CHECK(run(watching()) == ExitStatus::done);
  CHECK(run.out ==
        "09:12:00  raised    critical  herbarium-copier, Tray 2 (glasshouse): Paper is jammed at tray 2.\n"
        "09:12:00  cleared   major  seed-bank-printer (seed bank): The device does not answer.\n");
  CHECK(run.err.empty());
}

TEST_CASE("a pipe gets a header and tab-separated columns, JSON one object per line") {
  Run run;
  run.pause = FakePause(0);
  run.server.stream({notice("1", "raised", kJam)});
  CHECK(run(watching()) == ExitStatus::done);
  CHECK(run.out ==
        "at\tnotice\tseverity\tkind\tsite\tdevice\tqueue\tplace\tid\tsummary\n"
        "2026-11-25T08:12:00.000Z\traised\tcritical\tmedia-jam\tglasshouse\therbarium-copier\t\tTray 2\t17\t"
        "Paper is jammed at tray 2.\n");

  run.server.stream({notice("1", "raised", kJam) + notice("2", "changed", kJam)});
  CHECK(run(watching(true)) == ExitStatus::done);
  CHECK(std::count(run.out.begin(), run.out.end(), '\n') == 2);
  CHECK(parse_json(run.out.substr(0, run.out.find('\n')))->at("incident") == parse_json(kJam).value());
}

TEST_CASE("a stream that breaks is resumed after the last event that was seen") {
  Run run;
  run.pause = FakePause(3);
  run.server.stream({"retry: 2000\nid: r-0\n\n" + notice("r-1", "raised", kJam) + "id: r-2\ndata: half"}, broken());
  run.server.stream({}, broken());
  run.server.stream({notice("r-2", "cleared", kSilent)});
  CHECK(run(watching()) == ExitStatus::done);
  CHECK(run.server.asked ==
        std::vector<std::string>{"/v1/events after ''", "/v1/events after 'r-1'", "/v1/events after 'r-1'"});
  CHECK(run.pause.waits == std::vector<milliseconds>{milliseconds{2000}, milliseconds{4000}, milliseconds{2000}});
  CHECK(std::count(run.out.begin(), run.out.end(), '\n') == 3);
  CHECK(run.err ==
        "frisket: lost the stream (connection reset); trying again\n"
        "frisket: following http://127.0.0.1:9640 again\n"
        "frisket: lost the stream (the daemon ended the stream); trying again\n");
}

TEST_CASE("the wait doubles up to half a minute, whatever the daemon asked for") {
  const milliseconds asked{2000};
  CHECK(back_off(1, asked) == milliseconds{2000});
  CHECK(back_off(2, asked) == milliseconds{4000});
  CHECK(back_off(4, asked) == milliseconds{16000});
  CHECK(back_off(5, asked) == milliseconds{30000});
  CHECK(back_off(1'000'000, asked) == milliseconds{30000});
  CHECK(back_off(1, milliseconds{0}) == milliseconds{100});
  CHECK(back_off(1, milliseconds::max()) == milliseconds{30000});
}

TEST_CASE("a first connection that fails ends the watch with 3, a refusal at any time with 4") {
  Run run;
  run.server.stream({}, broken());
  CHECK(run(watching()) == ExitStatus::unreachable);
  CHECK(run.err == "frisket: asking the daemon: connection reset\n");

  run.server.stream({}, Answer{403, "application/problem+json", "{}"});
  CHECK(run(watching()) == ExitStatus::refused);

  run.pause = FakePause(5);
  run.server.stream({notice("1", "raised", kJam)}, broken());
  run.server.stream({}, Answer{401, "application/problem+json", "{}"});
  CHECK(run(watching()) == ExitStatus::refused);
}

TEST_CASE("what is no event stream of ours ends the watch with 3") {
  for (const Answer& answer : {Answer{404, "application/problem+json", "{}"}, Answer{200, "text/html", "<html>"},
                               Answer{204, "", ""}, Answer{302, "", ""}}) {
    Run run;
    run.pause = FakePause(5);
    run.server.stream({}, answer);
    CHECK(run(watching()) == ExitStatus::unreachable);
    CHECK(std::count(run.err.begin(), run.err.end(), '\n') == 1);
  }
  for (const char* data :
       {"nonsense", "[]", R"({"notice": 5, "incident": {}})", R"({"notice": "raised", "incident": {"id": "1"}})"}) {
    Run run;
    run.pause = FakePause(5);
    run.server.stream({std::string("event: notice\ndata: ") + data + "\n\n" + notice("2", "raised", kJam)});
    INFO(data);
    CHECK(run(watching(true)) == ExitStatus::unreachable);
    CHECK(run.out.empty());
  }
}

TEST_CASE("a daemon that is busy or restarting is waited for") {
  Run run;
  run.pause = FakePause(3);
  run.server.stream({notice("1", "raised", kJam)}, broken());
  run.server.stream({}, Answer{503, "application/problem+json", "{}"});
  run.server.stream({notice("2", "cleared", kSilent)});
  CHECK(run(watching(true)) == ExitStatus::done);
  CHECK(std::count(run.out.begin(), run.out.end(), '\n') == 2);
}

TEST_CASE("other events are passed over, and a gap is said aloud") {
  Run run;
  run.pause = FakePause(0);
  run.server.stream(
      {"event: device\ndata: {\"device\": \"palm\"}\n\nevent: gap\nid: 9\ndata: {}\n\nevent: later\ndata: x\n\n"});
  CHECK(run(watching(true)) == ExitStatus::done);
  CHECK(run.out.empty());
  CHECK(run.err == "frisket: changes were missed meanwhile; 'frisket status' shows how things are\n");
}

}  // namespace frisket::client
