// Against tests/facts/alert-to-ipp.tsv. Only its rows of confidence A (keyword read in RFC 8011 section
// 5.4.12, pairing plain) are an oracle of meaning; the others hold us to the mapping on record.
#include "daemon/incidents/keywords.h"

#include <catch2/catch.hpp>
#include <set>

#include "daemon/incidents/findings.h"
#include "facts.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;

namespace {

CodeMeaning recorded(const FactRow& row) {
  return {row.at("ipp_keyword"), row.at("kind") == "event" ? Lasting::event : Lasting::condition};
}

std::string keyword_at(AlertGroup group, std::int32_t index, AlertCode code, const model::DeviceSnapshot& snapshot,
                       AlertSeverity severity = AlertSeverity::critical) {
  const auto finding = finding_of(alert(severity, group, index, code), snapshot);
  return finding ? finding->keyword + "@" + to_text(finding->subunit) : "nothing";
}

}  // namespace

TEST_CASE("every alert code of the registry has its recorded keyword and kind") {
  int all = 0;
  int oracle = 0;
  for (const auto& row : facts("alert-to-ipp.tsv")) {
    if (row.at("code") == "-") continue;
    INFO("PrtAlertCodeTC " << row.at("code") << " " << row.at("label"));
    const auto meaning = meaning_of(static_cast<AlertCode>(std::stoi(row.at("code"))));
    CHECK(meaning == recorded(row));
    ++all;
    if (row.at("confidence") == "A") ++oracle;
  }
  CHECK(all == 707);
  CHECK(oracle == 20);
}

TEST_CASE("a code that no edition lists keeps its number") {
  for (const std::int32_t code : {0, 39, 1508, 4711, 30202, 30239, 31903, -7})
    CHECK(meaning_of(static_cast<AlertCode>(code)).keyword == "alert-code-" + std::to_string(code));
}

// RFC 3805 section 2.2.13: agents should use the generic codes, and the group says of what.
TEST_CASE("a generic code becomes the specific keyword of its group") {
  auto snapshot = healthy();
  snapshot.supplies.push_back(toner(2, "cyan", 50));
  snapshot.supplies[1].type = model::SupplyType::ink_cartridge;
  auto waste = toner(3, "", 50);
  waste.type = model::SupplyType::waste_toner;
  waste.supply_class = model::SupplyClass::receptacle_that_is_filled;
  snapshot.supplies.push_back(waste);

  CHECK(keyword_at(AlertGroup::input, 2, AlertCode::subunit_empty, snapshot) == "media-empty@input:2");
  CHECK(keyword_at(AlertGroup::input, 2, AlertCode::subunit_almost_empty, snapshot) == "media-low@input:2");
  CHECK(keyword_at(AlertGroup::input, 2, AlertCode::subunit_missing, snapshot) == "input-tray-missing@input:2");
  CHECK(keyword_at(AlertGroup::input, 2, AlertCode::jam, snapshot) == "media-jam@input:2");
  CHECK(keyword_at(AlertGroup::media_path, 1, AlertCode::jam, snapshot) == "media-jam@media-path:1");
  CHECK(keyword_at(AlertGroup::marker, 1, AlertCode::jam, snapshot) == "media-jam@marker:1");
  CHECK(keyword_at(AlertGroup::output, 1, AlertCode::subunit_full, snapshot) == "output-area-full@output:1");
  CHECK(keyword_at(AlertGroup::output, 1, AlertCode::subunit_missing, snapshot) == "output-tray-missing@output:1");
  CHECK(keyword_at(AlertGroup::cover, 1, AlertCode::cover_open, snapshot) == "cover-open@cover:1");
  CHECK(keyword_at(AlertGroup::cover, 1, AlertCode::door_open, snapshot) == "cover-open@cover:1");
  CHECK(keyword_at(AlertGroup::marker_supplies, 1, AlertCode::subunit_almost_empty, snapshot) == "toner-low@supply:1");
  CHECK(keyword_at(AlertGroup::marker_supplies, 2, AlertCode::subunit_almost_empty, snapshot) ==
        "marker-ink-almost-empty@supply:2");
  CHECK(keyword_at(AlertGroup::marker_supplies, 3, AlertCode::subunit_almost_full, snapshot) ==
        "marker-waste-toner-receptacle-almost-full@supply:3");
  CHECK(keyword_at(AlertGroup::marker_supplies, 9, AlertCode::subunit_empty, snapshot) ==
        "marker-supply-empty@supply:9");
  CHECK(keyword_at(AlertGroup::marker_colorant, 2, AlertCode::subunit_empty, snapshot) == "marker-ink-empty@supply:2");
  CHECK(keyword_at(AlertGroup::marker, 1, AlertCode::subunit_over_temperature, snapshot) == "fuser-over-temp@marker:1");
}

TEST_CASE("a special code at a supply that is not pointed at finds the only one of its kind") {
  CHECK(keyword_at(AlertGroup::marker, 1, AlertCode::marker_toner_empty, healthy()) == "toner-empty@supply:1");
  auto two = healthy();
  two.supplies.push_back(toner(2, "cyan", 50));
  CHECK(keyword_at(AlertGroup::marker, 1, AlertCode::marker_toner_empty, two) == "toner-empty@supply");
}

TEST_CASE("opened is a state only where the row is one") {
  const auto opened = AlertCode::subunit_opened;
  CHECK(keyword_at(AlertGroup::input, 1, opened, healthy(), AlertSeverity::warning) == "nothing");
  CHECK(keyword_at(AlertGroup::input, 1, opened, healthy(), AlertSeverity::warning_binary_change_event) ==
        "input-tray-missing@input:1");
  CHECK(keyword_at(AlertGroup::channel, 1, opened, healthy()) == "nothing");
}
