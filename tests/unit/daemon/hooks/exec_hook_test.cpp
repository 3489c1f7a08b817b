// What one run does, and what is said of it.
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <nlohmann/json.hpp>

#include "daemon/json/forms.h"
#include "fixture.h"

namespace frisket::hooks {
namespace {

using Catch::Matchers::Contains;

TEST_CASE("the program finds the notice and its own name on standard input, and then the end") {
  Desk desk;
  desk.configure({desk.script("desk", "cat > $1/notice; cat /dev/stdin > $1/again")});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  auto expected = json::notice_form(notice("7"));
  expected["id"] = "7-1-desk";
  expected["hook"] = "desk";
  expected["reason"] = "raised";
  expected["times_raised"] = 1;
  CHECK(json::Json::parse(desk.folder.read("notice")) == expected);
  CHECK(json::Json::parse(desk.folder.read("again")) == expected);
  CHECK(expected["incident"]["id"] == "7");
  CHECK(desk.counters().succeeded == 1);
}

TEST_CASE("what the printer says arrives as it is, and no shell sees it") {
  Desk desk;
  desk.configure({desk.script("desk", "cat > $1/notice")});
  auto transition = notice("7");
  transition.incident.summary =
      "Gew\xC3\xA4"
      "chshaus \"$(touch /tmp/x)\" `id` \\ ' <b>";
  transition.incident.place = std::string(200'000, 'x');  // more than any pipe holds
  desk.tell(transition);
  REQUIRE(desk.run_until_told());
  const auto told = json::Json::parse(desk.folder.read("notice"));
  CHECK(told["incident"]["summary"] == transition.incident.summary);
  CHECK(told["incident"]["place"] == transition.incident.place);
}

TEST_CASE("a program that does not read its input succeeds all the same") {
  Desk desk;
  desk.configure({desk.script("true", "exec <&-; exit 0")});
  auto transition = notice("7");
  transition.incident.place = std::string(1'000'000, 'x');
  desk.tell(transition);
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().succeeded == 1);
}

TEST_CASE("a program is started as soon as the io_context has a turn, and not at some later tick") {
  Desk desk;
  desk.configure({desk.script("desk", "echo x > $1/started; exec sleep 300")});
  desk.tell(notice("7"));
  CHECK(desk.counters().running == 0);
  desk.context.restart();  // it had run out of work
  desk.context.poll();     // runs what is ready and waits for nothing
  CHECK(desk.counters().running == 1);
  CHECK(desk.run_until([&] { return desk.folder.read("started") == "x\n"; }));
}

TEST_CASE("each exit is counted and logged with the hook, the notice and the output") {
  Desk desk;
  desk.configure({desk.script("fine", "echo all well"), desk.script("sour", "echo first; echo second >&2; exit 3"),
                  desk.script("shot", "kill -9 $$")});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  const auto counters = desk.counters();
  CHECK(counters.started == 3);
  CHECK(counters.succeeded == 1);
  CHECK(counters.failed == 2);
  CHECK(counters.timed_out == 0);
  const auto log = desk.logged();
  CHECK_THAT(
      log,
      Contains("info [hook-told] fine: raised of incident 7 (input-tray-missing): exit status 0; output: all well\n"));
  CHECK_THAT(log,
             Contains("warning [hook-failed] sour: raised of incident 7 (input-tray-missing): exit status 3; output: "
                      "first | second\n"));
  CHECK_THAT(log,
             Contains("[hook-failed] shot: raised of incident 7 (input-tray-missing): ended by signal 9; no output\n"));
}

TEST_CASE("endless output is read to its end and kept only in part") {
  Desk desk;
  desk.configure({desk.script("loud", "yes frond | head -c 10000000; echo done > $1/done")});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.folder.read("done") == "done\n");
  CHECK(desk.counters().succeeded == 1);
  const auto log = desk.logged();
  CHECK(log.size() < 16 * 1024);
  CHECK_THAT(log, Contains("frond | frond") && Contains("(and more)"));
}

TEST_CASE("output cannot forge log lines or steer a terminal") {
  Desk desk;
  desk.configure({desk.script("sly", "printf 'a\\033[2Jb\\r\\nerror [forged]\\0\\377 c\\n'")});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  const auto log = desk.logged();
  CHECK(std::count(log.begin(), log.end(), '\n') == 1);
  CHECK(std::none_of(log.begin(), log.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 && c != '\n'; }));
  CHECK_THAT(log, Contains("output: a [2Jb | error [forged] \xC3\xBF c\n"));
}

TEST_CASE("a program that cannot be started, or fails, is run again until it takes the notice") {
  Desk desk;
  auto hook = desk.script("desk", "exit 0");
  const auto file = hook.program;
  std::filesystem::remove(file);
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().failed == 1);
  CHECK_THAT(desk.logged(),
             Contains("error [hook-not-started] desk: raised of incident 7 (input-tray-missing): starting of " +
                      file.string() + ": No such file or directory"));
  desk.script("desk", "echo $FRISKET_NOTICE >> $1/told; exit 3");
  desk.tell(notice("7", Transition::What::changed));
  desk.clock.advance(std::chrono::seconds{2});
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().failed == 2);
  CHECK(desk.counters().waiting == 2);
  desk.script("desk", "echo $FRISKET_NOTICE >> $1/told");
  desk.clock.advance(std::chrono::seconds{3});
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().waiting == 0);
  CHECK(desk.folder.read("told") == "raised\nraised\nchanged\n");
  CHECK_THAT(desk.logged(), Contains("info [hook-told] desk: raised of incident 7 (input-tray-missing), in attempt 3"));
}

TEST_CASE("many runs leave no descriptor and no child behind") {
  Desk desk;
  desk.configure({desk.script("desk", "cat > /dev/null")});
  const auto open_now = [] {
    const std::filesystem::directory_iterator listing("/proc/self/fd");
    return std::distance(begin(listing), end(listing));
  };
  desk.tell(notice("first"));
  REQUIRE(desk.run_until_told());
  const auto before = open_now();
  for (int i = 0; i < 50; ++i) desk.tell(notice(std::to_string(i)));
  REQUIRE(desk.run_until_told());
  CHECK(open_now() == before);
  CHECK(desk.counters().succeeded == 51);
  CHECK(::waitpid(-1, nullptr, WNOHANG) == -1);
  CHECK(errno == ECHILD);
}

}  // namespace
}  // namespace frisket::hooks
