// How runs are ended.
#include <signal.h>

#include <cerrno>

#include "fixture.h"

namespace frisket::hooks {
namespace {

using Catch::Matchers::Contains;
using namespace std::chrono_literals;

// No process has the id, not even one that ended and was not reaped.
bool is_gone(const std::string& id) {
  REQUIRE_FALSE(id.empty());
  return ::kill(static_cast<pid_t>(std::stol(id)), 0) != 0 && errno == ESRCH;
}

// What the init process has to reap may stay for a moment: gone counts as gone or a zombie.
bool runs(const std::string& id) {
  if (is_gone(id)) return false;
  std::ifstream stat("/proc/" + std::to_string(std::stol(id)) + "/stat");
  const std::string text{std::istreambuf_iterator<char>(stat), {}};
  return !text.empty() && text.find(") Z ") == std::string::npos;
}

TEST_CASE("a program over its time limit is ended with its children") {
  Desk desk;
  auto hook = desk.script("stuck", "echo $$ > $1/leader; sleep 300 & echo $! > $1/child; wait");
  hook.time_limit = 1s;
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().timed_out == 1);
  CHECK(desk.counters().failed == 0);
  CHECK(is_gone(desk.folder.read("leader")));
  CHECK(desk.run_until([&] { return !runs(desk.folder.read("child")); }));
  CHECK_THAT(desk.logged(), Contains("warning [hook-failed] stuck") && Contains("ended by the time limit of 1 s"));
}

TEST_CASE("a program that ignores SIGTERM is killed two seconds later, with children that do the same") {
  Desk desk;
  auto hook = desk.script("stubborn",
                          "trap '' TERM; (trap '' TERM; while :; do sleep 300; done) & echo $! > $1/child; echo $$ > "
                          "$1/leader; while :; do sleep 300; done");
  hook.time_limit = 1s;
  desk.configure({hook});
  const auto begin = std::chrono::steady_clock::now();
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(std::chrono::steady_clock::now() - begin >= 3s);
  CHECK(desk.counters().timed_out == 1);
  CHECK(is_gone(desk.folder.read("leader")));
  CHECK(desk.run_until([&] { return !runs(desk.folder.read("child")); }));
}

TEST_CASE("a program that heeds SIGTERM can tidy up") {
  Desk desk;
  auto hook = desk.script("tidy", "trap 'echo tidied > $1/tidied; exit 5' TERM; while :; do sleep 0.05; done");
  hook.time_limit = 1s;
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.folder.read("tidied") == "tidied\n");
  CHECK(desk.counters().timed_out == 1);
}

TEST_CASE("what a program leaves behind in its group is ended with it, and delays nobody until the time limit") {
  Desk desk;
  auto hook = desk.script("leaves", "sleep 300 & echo $! > $1/child; echo done; exit 0");
  hook.time_limit = 300s;
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().succeeded == 1);
  CHECK(desk.run_until([&] { return !runs(desk.folder.read("child")); }));
}

TEST_CASE("the same for what it leaves behind with its output closed") {
  Desk desk;
  auto hook = desk.script("leaves", "sleep 300 >/dev/null 2>&1 & echo $! > $1/child; exit 0");
  hook.time_limit = 300s;
  desk.configure({hook});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.run_until([&] { return !runs(desk.folder.read("child")); }));
}

TEST_CASE("stopping ends what runs, drops what waits, and takes no more") {
  Desk desk;
  auto hook =
      desk.script("stuck", "trap '' TERM; echo $$ > $1/leader; sleep 300 & echo $! > $1/child; while :; do wait; done");
  hook.parallel = 1;
  desk.configure({hook});
  desk.tell(notice("1"));
  desk.tell(notice("2"));
  REQUIRE(desk.run_until([&] { return !desk.folder.read("child").empty(); }));
  desk.hooks.stop();
  CHECK(is_gone(desk.folder.read("leader")));
  CHECK(desk.counters().running == 0);
  CHECK(desk.counters().waiting == 0);
  CHECK_THAT(desk.logged(), Contains("[hooks-stopped] 1 attempts were ended, 1 notices had not been tried"));
  CHECK(desk.run_until([&] { return !runs(desk.folder.read("child")); }));
  desk.tell(notice("3"));
  CHECK(desk.counters().waiting == 0);
  desk.context.restart();
  desk.context.run();  // nothing is left to wait for: this returns
  CHECK(desk.counters().started == 1);
}

TEST_CASE("hooks that go away while a program runs leave no process") {
  TemporaryFolder folder;
  boost::asio::io_context context;
  std::string leader;
  {
    SystemClock clock;
    Hooks hooks(context.get_executor(), clock, all_transports(context.get_executor()), 1, {});
    config::Config config;
    auto& hook = config.hooks.emplace_back();
    hook.name = "stuck";
    hook.program = folder.write("stuck", "#!/bin/sh\necho $$ > $1/leader; sleep 300\n", 0700);
    hook.arguments = {folder.path().string()};
    hooks.configure(config);
    auto transition = notice("1");
    transition.at = clock.wall_now();
    hooks.deliver(hooks.plan(transition));
    const auto guard = std::chrono::steady_clock::now() + 60s;
    while ((leader = folder.read("leader")).empty() && std::chrono::steady_clock::now() < guard)
      context.run_for(2ms), context.restart();
  }
  CHECK(is_gone(leader));
}

}  // namespace
}  // namespace frisket::hooks
