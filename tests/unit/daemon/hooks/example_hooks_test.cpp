// The programs under config/examples/hooks, run as the daemon runs them.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "fixture.h"

namespace frisket::hooks {
namespace {

using Catch::Matchers::Contains;

config::Hook example(const std::string& program, std::vector<std::string> arguments) {
  config::Hook hook;
  hook.name = "desk";
  hook.program = std::string(FRISKET_SOURCE_DIR) + "/config/examples/hooks/" + program;
  hook.arguments = std::move(arguments);
  return hook;
}

std::string told(Desk& desk, const Transition& transition) {
  const auto file = (desk.folder.path() / "desk.log").string();
  desk.configure({example("tell-desk", {"--file", file})});
  desk.tell(transition);
  REQUIRE(desk.run_until_told());
  INFO(desk.logged());
  CHECK(desk.counters().succeeded == desk.counters().started);
  return desk.folder.read("desk.log");
}

TEST_CASE("tell-desk writes one line for a notice, with the first step of the remedy when it is raised") {
  Desk desk;
  CHECK(told(desk, notice("7")) ==
        "2026-11-25T08:00:00.000Z raised major input-tray-missing herbarium-copier Tray 2 is open or missing. First: "
        "Close "
        "tray 2.\n");
}

TEST_CASE("tell-desk appends, and says what was cleared") {
  Desk desk;
  told(desk, notice("7"));
  const auto lines = told(desk, notice("7", Transition::What::cleared));
  CHECK(std::count(lines.begin(), lines.end(), '\n') == 2);
  CHECK_THAT(lines,
             Contains("\n2026-11-25T08:00:00.000Z cleared major input-tray-missing herbarium-copier Tray 2 is open"));
}

TEST_CASE("tell-desk keeps a hostile text on one short line") {
  Desk desk;
  auto transition = notice("7");
  transition.incident.summary = "a\nforged line\x1b[2J \xE2\x80\xAE" + std::string(5000, 'x');
  const auto lines = told(desk, transition);
  CHECK(std::count(lines.begin(), lines.end(), '\n') == 1);
  CHECK(lines.find('\x1b') == std::string::npos);
  CHECK(lines.size() < 600);
}

TEST_CASE("tell-desk says why it could not tell") {
  Desk desk;
  desk.configure({example("tell-desk", {"--file", (desk.folder.path() / "absent" / "desk.log").string()})});
  desk.tell(notice("7"));
  REQUIRE(desk.run_until_told());
  CHECK(desk.counters().failed == 1);
  CHECK_THAT(desk.logged(), Contains("exit status 1; output: tell-desk: FileNotFoundError"));
}

TEST_CASE("notices told at the same time give whole lines") {
  Desk desk;
  desk.configure({example("tell-desk", {"--file", (desk.folder.path() / "desk.log").string()})});
  for (int i = 0; i < 8; ++i) desk.tell(notice(std::to_string(i)));
  REQUIRE(desk.run_until_told());
  std::istringstream lines(desk.folder.read("desk.log"));
  int whole = 0;
  for (std::string line; std::getline(lines, line);)
    whole += line.starts_with("2026-11-25T08:00:00.000Z raised") && line.ends_with("Close tray 2.") ? 1 : 0;
  CHECK(whole == 8);
}

TEST_CASE("keep-notices keeps each notice as it came, one to a line") {
  Desk desk;
  desk.configure({example("keep-notices", {(desk.folder.path() / "notices.jsonl").string()})});
  desk.tell(notice("7"));
  desk.tell(notice("7", Transition::What::cleared));
  REQUIRE(desk.run_until_told());
  std::istringstream lines(desk.folder.read("notices.jsonl"));
  std::vector<std::string> notices;
  for (std::string line; std::getline(lines, line);) notices.push_back(nlohmann::json::parse(line).at("notice"));
  CHECK(notices == std::vector<std::string>{"raised", "cleared"});
}

}  // namespace
}  // namespace frisket::hooks
