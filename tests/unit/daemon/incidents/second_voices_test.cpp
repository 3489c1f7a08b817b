// Witnesses that only second, or contradict: the panel, levels, a cover's status, the error bits.
#include <catch2/catch.hpp>

#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;
using Source = Witness::Source;

namespace {

const config::Rules kRules;

// "says" or "against" if that source is among the witnesses of the condition; "silent" if it is not.
std::string heard(const model::DeviceSnapshot& snapshot, std::string_view keyword, Source source,
                  const config::Rules& rules = kRules) {
  for (const auto& condition : derive(snapshot, rules, {}, kMorning).conditions) {
    if (condition.keyword != keyword) continue;
    for (const auto& witness : condition.witnesses)
      if (witness.source == source) return witness.contradicts ? "against" : "says";
    return "silent";
  }
  return "no " + std::string(keyword);
}

model::DeviceSnapshot with_row(AlertGroup group, std::int32_t index, AlertCode code) {
  auto snapshot = healthy();
  snapshot.alerts = {alert(AlertSeverity::critical, group, index, code)};
  return snapshot;
}

model::DeviceSnapshot with_panel(model::DeviceSnapshot snapshot, std::string text) {
  model::ConsoleLine line;
  line.text = std::move(text);
  snapshot.console = {std::move(line)};
  return snapshot;
}

}  // namespace

TEST_CASE("a level that has risen to clear_at speaks against an empty supply, one below does not") {
  for (const auto& [percent, expected] : {std::pair(15, "against"), std::pair(14, "silent")}) {
    auto rules = kRules;
    rules.supply.low_at = 10;
    rules.supply.clear_at = 15;
    auto snapshot = with_row(AlertGroup::marker_supplies, 1, AlertCode::marker_toner_empty);
    snapshot.supplies = {toner(1, "black", percent)};
    INFO(percent);
    CHECK(heard(snapshot, "toner-empty", Source::level, rules) == expected);
  }
}

TEST_CASE("sheets in a tray speak against its being empty") {
  auto snapshot = with_row(AlertGroup::input, 2, AlertCode::input_media_supply_empty);
  CHECK(heard(snapshot, "media-empty", Source::level) == "against");
  snapshot.inputs[1].current_level = model::Unknown{};
  CHECK(heard(snapshot, "media-empty", Source::level) == "silent");
  snapshot.inputs[1].current_level = model::Amount{0};
  CHECK(heard(snapshot, "media-empty", Source::level) == "says");
}

TEST_CASE("a cover's own status speaks for or against the row that says it is open") {
  auto snapshot = with_row(AlertGroup::cover, 1, AlertCode::cover_open);
  CHECK(heard(snapshot, "cover-open", Source::subunit_status) == "against");
  snapshot.covers[0].status = model::CoverStatus::unknown;
  CHECK(heard(snapshot, "cover-open", Source::subunit_status) == "silent");
  snapshot.covers[0].status = model::CoverStatus::cover_open;
  CHECK(heard(snapshot, "cover-open", Source::subunit_status) == "says");
}

TEST_CASE("error bits without the jam speak against it, no error bits at all do not") {
  auto snapshot = with_row(AlertGroup::input, 2, AlertCode::jam);
  CHECK(heard(snapshot, "media-jam", Source::error_bits) == "against");
  snapshot.host.errors.reset();
  CHECK(heard(snapshot, "media-jam", Source::error_bits) == "silent");
}

TEST_CASE("the panel seconds what it names in one of six languages, and nothing else") {
  for (const auto* text : {"Paper jam in tray 2", "Papierstau", "BOURRAGE PAPIER", "Atasco de papel", "Carta inceppata",
                           "Papier vastgelopen"}) {
    INFO(text);
    const auto jammed = with_row(AlertGroup::input, 2, AlertCode::jam);
    CHECK(heard(with_panel(jammed, text), "media-jam", Source::console) == "says");
    CHECK(heard(with_panel(healthy(), text), "media-jam", Source::console) == "no media-jam");
    const auto open = with_row(AlertGroup::cover, 1, AlertCode::cover_open);
    CHECK(heard(with_panel(open, text), "cover-open", Source::console) == "silent");
  }
}

TEST_CASE("a line on the panel that names another colour is about another cartridge") {
  auto snapshot = with_row(AlertGroup::marker_supplies, 1, AlertCode::marker_toner_empty);
  snapshot.supplies.push_back(toner(2, "cyan", 60));
  CHECK(heard(with_panel(snapshot, "Replace black toner"), "toner-empty", Source::console) == "says");
  CHECK(heard(with_panel(snapshot, "Replace toner"), "toner-empty", Source::console) == "says");
  CHECK(heard(with_panel(snapshot, "Replace CYAN toner"), "toner-empty", Source::console) == "silent");
  CHECK(heard(with_panel(snapshot, "Replace black and cyan toner"), "toner-empty", Source::console) == "says");
}

TEST_CASE("a colour on the panel is no reason to think that it is not about a cover") {
  auto snapshot = with_row(AlertGroup::cover, 1, AlertCode::cover_open);
  CHECK(heard(with_panel(snapshot, "Close the black cover"), "cover-open", Source::console) == "says");
}
