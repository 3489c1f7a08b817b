// [rules.supply] and its kinds.
#include <catch2/catch.hpp>

#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;
using model::SupplyType;

Rules rules(std::string_view text) {
  const auto loaded = Garden{}.load(text);
  for (const auto& finding : loaded.findings) UNSCOPED_INFO(finding.text());
  REQUIRE(loaded.findings.empty());
  return loaded.config.rules;
}

// Common practice, no source: the values are ours.
TEST_CASE("consumables follow the general thresholds, wearing parts and receptacles lower ones") {
  const auto built_in = rules("");
  CHECK(built_in.supply == SupplyThreshold{10, 3, 15});
  CHECK(built_in.supply_kinds.count(SupplyType::toner) == 0);
  CHECK(built_in.supply_kinds.count(SupplyType::ink) == 0);
  for (const auto kind : {SupplyType::fuser, SupplyType::opc, SupplyType::waste_toner, SupplyType::transfer_unit})
    CHECK(built_in.supply_kinds.at(kind) == SupplyThreshold{5, 1, 10});
}

TEST_CASE("a kind takes what its section leaves out from its own default, else from the general thresholds") {
  const auto changed = rules(
      "[rules.supply]\nlow_at = 20\nclear_at = 30\n"
      "[rules.supply.ink]\nnearly_empty_at = 4\n"
      "[rules.supply.fuser]\nlow_at = 6\n");
  CHECK(changed.supply_kinds.at(SupplyType::ink) == SupplyThreshold{20, 4, 30});
  CHECK(changed.supply_kinds.at(SupplyType::fuser) == SupplyThreshold{6, 1, 10});
  CHECK(changed.supply_kinds.at(SupplyType::opc) == SupplyThreshold{5, 1, 10});
}

TEST_CASE("every kind of supply that the standard lists can have a section") {
  for (const auto& row : model::listed<SupplyType>()) {
    const auto changed = rules("[rules.supply." + std::string(row.label) + "]\nlow_at = 7\n");
    CHECK(changed.supply_kinds.at(static_cast<SupplyType>(row.value)).low_at == 7);
  }
}

TEST_CASE("thresholds out of order are refused, so that a level cannot be low and clear at once") {
  const Garden garden;
  CHECK(garden.finding("[rules.supply]\nlow_at = 20\n") ==
        "1:1: error: rules.supply.clear_at: found 15, allowed: more than low_at, which is 20");
  CHECK(garden.finding("[rules.supply]\nlow_at = 10\nclear_at = 10\n") ==
        "3:12: error: rules.supply.clear_at: found 10, allowed: more than low_at, which is 10");
  CHECK(garden.finding("[rules.supply.toner]\nnearly_empty_at = 12.5\n") ==
        "2:19: error: rules.supply.toner.nearly_empty_at: found 12.5, allowed: at most low_at, which is 10");
}

TEST_CASE("a threshold is a finite number from 0 to 100") {
  const Garden garden;
  for (const auto* value : {"-1", "100.5", "nan", "inf", "-inf", "\"10\""})
    CHECK_THAT(garden.finding("[rules.supply]\nclear_at = " + std::string(value) + "\n"),
               Contains("rules.supply.clear_at: found") && Contains("a number from 0 to 100"));
}

TEST_CASE("an unknown kind or key of the rules is refused") {
  const Garden garden;
  CHECK_THAT(garden.finding("[rules.supply.tonar]\nlow_at = 5\n"),
             Contains("1:15: error: rules.supply: unknown kind of supply \"tonar\"; did you mean \"toner\"?"));
  CHECK_THAT(garden.finding("[rules.supplies]\n"), Contains("rules: unknown key \"supplies\""));
  CHECK_THAT(garden.finding("[rules.supply]\nlow = 5\n"), Contains("rules.supply: unknown key \"low\""));
  CHECK_THAT(garden.finding("[rules]\nsupply = 5\n"), Contains("rules.supply: found 5"));
}

}  // namespace
}  // namespace frisket::config
