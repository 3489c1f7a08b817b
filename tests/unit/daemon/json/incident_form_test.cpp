// The expected documents follow the contract's own listing of an incident (docs/api.md).
#include <catch2/catch.hpp>

#include "daemon/json/forms.h"

using namespace frisket;
using json::Json;

namespace {

const auto kEight = *model::from_rfc3339("2026-01-05T08:00:00Z");
const auto kNine = *model::from_rfc3339("2026-01-05T09:00:00Z");

incidents::Incident jam() {
  const model::Subunit tray{model::Subunit::Kind::input, 2};
  incidents::Incident incident;
  incident.id = "17";
  incident.kind = "media-jam";
  incident.device = "herbarium-copier";
  incident.site = "glasshouse";
  incident.subunit = tray;
  incident.place = "Tray 2";
  incident.severity = model::Severity::critical;
  incident.training = model::Training::trained;
  incident.raised_at = kEight;
  incident.changed_at = kNine;
  incident.summary = "Paper is jammed in Tray 2";
  incidents::Condition condition;
  condition.keyword = "media-jam";
  condition.severity = model::Severity::critical;
  condition.training = model::Training::trained;
  condition.subunit = tray;
  condition.place = "Tray 2";
  condition.since = kEight;
  condition.device_text = "Paper jam in tray 2";
  condition.witnesses = {{incidents::Witness::Source::alert_table, "row 3: 'Paper jam in tray 2'"},
                         {incidents::Witness::Source::level, "somewhat", true}};
  incident.evidence = {condition};
  incident.remedy.steps = {"Open Tray 2", "Pull the sheet out in the direction of travel"};
  incident.remedy.cautions = {"The fuser is hot"};
  incident.remedy.carry = {{"QR-20", "Quillon", "", 2}};
  incident.earlier_kinds = {"cover-open"};
  incident.times_raised = 2;
  incident.chattering = true;
  incident.planned = true;
  incident.shelved_until = kNine;
  incident.outcome = "replaced at 7 impressions";
  incident.proof = incidents::Proof::held;
  incident.proved_at = kNine;
  incident.actions = {{kEight, incidents::OperatorState::shelved, "robin", "later", kNine}};
  incident.changes = {{kEight, incidents::What::raised, model::Severity::minor, "cover-open", "A cover is open"}};
  return incident;
}

constexpr auto kJamForm =
    R"({"id":"17","kind":"media-jam","device":"herbarium-copier","queue":null,"site":"glasshouse",)"
    R"("subunit":"input:2","place":"Tray 2","severity":"critical","state":"raised","operator":"none",)"
    R"("training":"trained","raised_at":"2026-01-05T08:00:00.000Z","changed_at":"2026-01-05T09:00:00.000Z",)"
    R"("cleared_at":null,"summary":"Paper is jammed in Tray 2",)"
    R"("evidence":[{"keyword":"media-jam","severity":"critical","subunit":"input:2",)"
    R"("since":"2026-01-05T08:00:00.000Z","place":"Tray 2","training":"trained","device_text":"Paper jam in tray 2",)"
    R"("witnesses":[{"source":"alert-table","says":"row 3: 'Paper jam in tray 2'","contradicts":false},)"
    R"({"source":"level","says":"somewhat","contradicts":true}]}],)"
    R"("remedy":{"steps":["Open Tray 2","Pull the sheet out in the direction of travel"],)"
    R"("cautions":["The fuser is hot"],)"
    R"("carry":[{"part":"QR-20","maker":"Quillon","colorant":"","count":2}]},)"
    R"("earlier_kinds":["cover-open"],"times_raised":2,"chattering":true,"planned":true,)"
    R"("shelved_until":"2026-01-05T09:00:00.000Z","outcome":"replaced at 7 impressions","proof":"held",)"
    R"("proved_at":"2026-01-05T09:00:00.000Z",)"
    R"("actions":[{"at":"2026-01-05T08:00:00.000Z","operator":"shelved","by":"robin","note":"later",)"
    R"("until":"2026-01-05T09:00:00.000Z"}],)"
    R"("changes":[{"at":"2026-01-05T08:00:00.000Z","what":"raised","severity":"minor","kind":"cover-open",)"
    R"("summary":"A cover is open"}]})";

}  // namespace

TEST_CASE("an incident's form has exactly the contract's fields in the contract's order") {
  CHECK(json::text_of(json::incident_form(jam())) == kJamForm);
}

TEST_CASE("an incident of a whole site has null for what it does not concern") {
  incidents::Incident incident;
  incident.id = "18";
  incident.kind = "site-silent";
  incident.site = "glasshouse";
  incident.state = incidents::Incident::State::cleared;
  incident.operator_state = incidents::Incident::Operator::shelved;
  incident.cleared_at = kNine;
  const auto form = json::incident_form(incident);
  CHECK(form.at("device").is_null());
  CHECK(form.at("subunit").is_null());
  CHECK(form.at("state") == "cleared");
  CHECK(form.at("operator") == "shelved");
  CHECK(form.at("cleared_at") == "2026-01-05T09:00:00.000Z");
  CHECK(form.at("evidence") == Json::array());
  CHECK(form.at("remedy") == Json{{"steps", Json::array()}, {"cautions", Json::array()}, {"carry", Json::array()}});
}

TEST_CASE("a notice says what happened, when, and how the incident is afterwards") {
  const incidents::Transition transition{incidents::Transition::What::changed, kNine, jam()};
  CHECK(json::text_of(json::notice_form(transition)) ==
        std::string(R"({"notice":"changed","at":"2026-01-05T09:00:00.000Z","incident":)") + kJamForm + "}");
}
