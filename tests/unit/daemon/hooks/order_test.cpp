// Which notice is told when.
#include <ctime>

#include "fixture.h"

namespace frisket::hooks {
namespace {

using Catch::Matchers::Contains;
using What = Transition::What;

// Marks its begin, waits until the test has made the file "go", and marks its end.
const std::string kWaits =
    "echo begin $FRISKET_INCIDENT >> $1/marks; while [ ! -e $1/go ]; do sleep 0.01; done; "
    "echo end $FRISKET_INCIDENT >> $1/marks";

std::size_t marks(const Desk& desk, std::string_view word) {
  const auto text = desk.folder.read("marks");
  std::size_t count = 0;
  for (std::size_t at = 0; (at = text.find(word, at)) != std::string::npos; ++at) ++count;
  return count;
}

TEST_CASE("the notices of one incident are told one after the other, in order") {
  Desk desk;
  desk.configure({desk.script("desk", "echo begin $FRISKET_NOTICE >> $1/marks; sleep 0.02; echo end >> $1/marks")});
  for (const auto what : {What::raised, What::changed, What::cleared}) desk.tell(notice("7", what));
  CHECK(desk.counters().waiting == 3);
  REQUIRE(desk.run_until_told());
  CHECK(desk.folder.read("marks") == "begin raised\nend\nbegin changed\nend\nbegin cleared\nend\n");
}

TEST_CASE("different incidents are told at once, up to the hook's limit") {
  Desk desk;
  auto hook = desk.script("desk", kWaits);
  hook.parallel = 2;
  desk.configure({hook});
  for (const auto* id : {"1", "2", "3", "4", "5"}) desk.tell(notice(id));
  REQUIRE(desk.run_until([&] { return marks(desk, "begin") == 2; }));
  CHECK(desk.counters().running == 2);
  CHECK(desk.counters().waiting == 3);
  desk.folder.write("go", "");
  REQUIRE(desk.run_until_told());
  // At no point of the marks are more than two begun and not ended.
  int open = 0;
  std::istringstream lines(desk.folder.read("marks"));
  for (std::string line; std::getline(lines, line);) {
    open += line.starts_with("begin") ? 1 : -1;
    CHECK(open <= 2);
  }
  CHECK(marks(desk, "end") == 5);
}

TEST_CASE("a hook that hangs delays no other hook, nor its own other incidents") {
  Desk desk;
  desk.configure({desk.script("stuck", kWaits), desk.script("quick", "echo $FRISKET_INCIDENT >> $1/told")});
  for (const auto* id : {"1", "1", "1"}) desk.tell(notice(id, What::changed));
  desk.tell(notice("2"));
  REQUIRE(desk.run_until([&] { return desk.counters().succeeded == 4; }));
  CHECK(desk.folder.read("told").size() == 8);
  REQUIRE(desk.run_until([&] { return marks(desk, "begin") == 2; }));
  CHECK(marks(desk, "begin 1") == 1);
  CHECK(desk.counters().running == 2);
  CHECK(desk.counters().waiting == 2);
}

TEST_CASE("a hook for which too much waits is told of nothing new, and that is said once") {
  Desk desk;
  auto hook = desk.script("stuck", kWaits);
  hook.parallel = 1;
  desk.configure({hook});
  for (int i = 0; i < 10'100; ++i) desk.tell(notice(std::to_string(i)));
  CHECK(desk.counters().waiting == 10'000);
  CHECK(desk.counters().refused == 100);
  const auto log = desk.logged();
  CHECK_THAT(log, Contains("error [hook-full] 10000 notices wait for one hook"));
  CHECK(log.find("[hook-full]") == log.rfind("[hook-full]"));
}

TEST_CASE("a new configuration keeps what waits for a hook that stays and drops what waits for one that goes") {
  Desk desk;
  auto stays = desk.script("stays", kWaits);
  auto goes = desk.script("goes", kWaits);
  stays.parallel = goes.parallel = 1;
  desk.configure({stays, goes});
  desk.tell(notice("1"));
  desk.tell(notice("2"));
  REQUIRE(desk.run_until([&] { return marks(desk, "begin") == 2; }));
  stays.program = desk.script("new", "echo new >> $1/marks").program;
  desk.configure({stays});
  CHECK(desk.counters().dropped == 2);  // the one under way as well: its hook is gone, nobody asks what became of it
  CHECK(desk.counters().waiting == 1);
  CHECK(desk.counters().running == 2);  // what runs goes on
  CHECK_THAT(desk.logged(),
             Contains("[hook-gone] goes is no longer configured; 1 notices that waited for it are dropped"));
  desk.folder.write("go", "");
  REQUIRE(desk.run_until_told());
  CHECK(marks(desk, "end 1") == 2);
  CHECK(marks(desk, "new") == 1);
  desk.tell(notice("3"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().started == 4);
}

TEST_CASE("telling is quick however much there is to tell") {
  Desk desk;
  desk.configure({desk.script("desk", "exit 0")});
  const auto begin = std::clock();  // of this process alone, however busy the machine is
  for (int i = 0; i < 5000; ++i) desk.tell(notice("7", What::changed));
  CHECK(static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC < 15);
  CHECK(desk.counters().started == 0);  // programs start later, from the io_context
}

}  // namespace
}  // namespace frisket::hooks
