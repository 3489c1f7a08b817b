// docs/incidents.md against the table in the code, and the ids.
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <iostream>
#include <set>

#include "daemon/incidents/causes.h"
#include "daemon/incidents/incident_id.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/place.h"
#include "daemon/incidents/remedies.h"
#include "facts.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

namespace {

std::string doc_row(const Kind& kind) {
  std::string severity(model::to_text(kind.severity));
  if (!kind.problem) severity = "no incident";
  const auto delay = kind.delay.count() == 0 ? std::string("-") : std::to_string(kind.delay.count()) + " s";
  std::string text = "| `" + std::string(kind.keyword) + "` | " + std::string(kind.raised_when) + " | " +
                     std::string(kind.cleared_when) + " | " + severity + " | " +
                     std::string(model::to_text(kind.training)) + " | " + delay + " | " + std::string(kind.source) +
                     " |";
  return text;
}

}  // namespace

TEST_CASE("docs/incidents.md lists every kind as the code has it, in the same order, and no other") {
  std::vector<std::string> expected;
  for (const auto& kind : kinds()) expected.push_back(doc_row(kind));
  std::ifstream file(std::string(FRISKET_SOURCE_DIR) + "/docs/incidents.md");
  REQUIRE(file);
  std::vector<std::string> found;
  for (std::string line; std::getline(file, line);)
    if (line.starts_with("| `")) found.push_back(line);
  for (std::size_t i = 0; i < std::min(expected.size(), found.size()); ++i) CHECK(found[i] == expected[i]);
  CHECK(found.size() == expected.size());
}

TEST_CASE("prints the table of kinds for docs/incidents.md", "[.table]") {
  for (const auto& kind : kinds()) std::cout << doc_row(kind) << "\n";
}

TEST_CASE("no keyword is listed twice, and every one has both sentences") {
  std::set<std::string_view> seen;
  for (const auto& kind : kinds()) {
    INFO(kind.keyword);
    CHECK(seen.insert(kind.keyword).second);
    CHECK(std::ranges::count(kind.summary, '|') == 1);
    CHECK(summary_of(kind.keyword, "Tray 2").find("{place}") == std::string::npos);
    CHECK(summary_of(kind.keyword, "").find("{place}") == std::string::npos);
    CHECK(summary_of(kind.keyword, "").ends_with('.'));
  }
  CHECK(kinds().back().keyword == "*");
}

TEST_CASE("a keyword without a row of its own falls to the longest ending that fits") {
  CHECK(kind_of("stapler-jam").keyword == "*-jam");
  CHECK(kind_of("puncher-almost-full").keyword == "*-almost-full");
  CHECK(kind_of("stacker-full").keyword == "*-full");
  CHECK(kind_of("alert-code-4711").keyword == "*");
  CHECK(kind_of("media-jam").keyword == "media-jam");
  CHECK(family_of("stapler-almost-empty") == family_of("stapler-empty"));
  CHECK(family_of("stapler-empty") != family_of("stitcher-empty"));
}

TEST_CASE("every kind that is a problem has a remedy with steps, without a slot left open") {
  const auto snapshot = healthy();
  for (const auto& kind : kinds()) {
    Condition condition;
    condition.keyword = std::string(kind.keyword);
    if (condition.keyword.starts_with('*')) condition.keyword.replace(0, 1, "stapler");
    for (const std::int32_t index : {0, 1}) {
      condition.subunit = {Subunit::Kind::input, index};
      condition.place = place_of(condition.subunit, snapshot);
      const auto remedy = remedy_for({{condition}}, &snapshot);
      INFO(condition.keyword);
      CHECK_FALSE(remedy.steps.empty());
      for (const auto& list : {remedy.cautions, remedy.steps})
        for (const auto& text : list) {
          CHECK(text.find('{') == std::string::npos);
          CHECK(text.ends_with('.'));
        }
    }
  }
}

TEST_CASE("work inside a laser printer is cautioned against heat, current and toner, before the steps") {
  const auto snapshot = healthy();
  Condition jam;
  jam.keyword = "media-jam";
  jam.subunit = {Subunit::Kind::media_path, 0};
  const auto remedy = remedy_for({{jam}}, &snapshot);
  const auto mentions = [&](std::string_view word) {
    return std::ranges::any_of(remedy.cautions, [&](const auto& text) { return text.find(word) != text.npos; });
  };
  CHECK(mentions("plug"));
  CHECK(mentions("fuser"));
  CHECK(mentions("household vacuum"));
  CHECK(mentions("maker's manual"));
  // The search order where the printer does not say where: the fuser last.
  const auto order = std::ranges::find_if(
      remedy.steps, [](const auto& step) { return step.find("search in this order") != step.npos; });
  REQUIRE(order != remedy.steps.end());
  CHECK(order->find("input trays") < order->find("output"));
  CHECK(order->find("output") < order->find("duplex"));
  CHECK(order->find("duplex") < order->find("fuser"));
}

TEST_CASE("places are the device's own names, bounded, else words for the kind of part") {
  auto snapshot = healthy();
  snapshot.inputs[0].name = "2";
  snapshot.inputs[1].name.clear();
  snapshot.covers[0].description = std::string(63, 'x') + "\xC3\xA9tage";  // the 64th byte would split the letter
  snapshot.supplies[0].description.clear();
  const auto place = [&](Subunit::Kind kind, std::int32_t index) { return place_of({kind, index}, snapshot); };
  CHECK(place(Subunit::Kind::input, 1) == "Tray 2");
  CHECK(place(Subunit::Kind::input, 2) == "Tray 2");
  CHECK(place(Subunit::Kind::input, 9) == "Tray 9");
  CHECK(place(Subunit::Kind::input, 0) == "A paper tray");
  CHECK(place(Subunit::Kind::cover, 1) == std::string(63, 'x'));
  CHECK(place(Subunit::Kind::cover, 2) == "Rear cover");
  CHECK(place(Subunit::Kind::supply, 1) == "Black toner cartridge");
  CHECK(place(Subunit::Kind::device, 0).empty());
}

TEST_CASE("ids are eight characters, rise with time, and never come twice") {
  const model::WallTime epoch = std::chrono::sys_days{std::chrono::year{2025} / 1 / 1};
  IncidentIds ids;
  CHECK(ids.next(epoch - 24h) == "00000001");
  CHECK(ids.next(epoch + std::chrono::milliseconds(32)) == "00000010");
  CHECK(ids.next(epoch + std::chrono::milliseconds(32)) == "00000011");
  CHECK(ids.next(epoch) == "00000012");
  CHECK(id_text(31) == "0000000z");
  CHECK(id_number("0000000z") == 31);
  CHECK(id_number("0000000Z") == std::nullopt);
  CHECK(id_number("123") == std::nullopt);
  IncidentIds later(*id_number("00000012"));
  CHECK(later.next(epoch) == "00000013");
}
