#include "daemon/json/forms.h"
#include "daemon/json/values.h"

namespace frisket::json {
namespace {

Json remedy_form(const incidents::Remedy& remedy) {
  Json carry = Json::array();
  for (const auto& part : remedy.carry)
    carry.push_back({{"part", part.part}, {"maker", part.maker}, {"colorant", part.colorant}, {"count", part.count}});
  return {{"steps", remedy.steps}, {"cautions", remedy.cautions}, {"carry", std::move(carry)}};
}

Json actions_form(const std::vector<incidents::OperatorAction>& actions) {
  Json list = Json::array();
  for (const auto& action : actions)
    list.push_back({{"at", model::to_rfc3339(action.at)},
                    {"operator", to_text(action.state)},
                    {"by", action.by},
                    {"note", action.note},
                    {"until", time_or_null(action.until)}});
  return list;
}

Json changes_form(const std::vector<incidents::StatusChange>& changes) {
  Json list = Json::array();
  for (const auto& change : changes)
    list.push_back({{"at", model::to_rfc3339(change.at)},
                    {"what", to_text(change.what)},
                    {"severity", to_text(change.severity)},
                    {"kind", change.kind},
                    {"summary", change.text}});
  return list;
}

}  // namespace

std::string text_of(const Json& value) { return value.dump(-1, ' ', false, Json::error_handler_t::replace); }

Json condition_form(const incidents::Condition& condition) {
  Json witnesses = Json::array();
  for (const auto& witness : condition.witnesses)
    witnesses.push_back(
        {{"source", to_text(witness.source)}, {"says", witness.says}, {"contradicts", witness.contradicts}});
  return {{"keyword", condition.keyword},
          {"severity", to_text(condition.severity)},
          {"subunit", to_text(condition.subunit)},
          {"since", model::to_rfc3339(condition.since)},
          {"place", condition.place},
          {"training", to_text(condition.training)},
          {"device_text", condition.device_text},
          {"witnesses", std::move(witnesses)}};
}

Json incident_form(const incidents::Incident& incident) {
  Json evidence = Json::array();
  for (const auto& condition : incident.evidence) evidence.push_back(condition_form(condition));
  return {{"id", incident.id},
          {"kind", incident.kind},
          {"device", or_null(incident.device)},
          {"queue", or_null(incident.queue)},
          {"site", incident.site},
          {"subunit", incident.subunit ? Json(to_text(*incident.subunit)) : Json()},
          {"place", incident.place},
          {"severity", to_text(incident.severity)},
          {"state", to_text(incident.state)},
          {"operator", to_text(incident.operator_state)},
          {"training", to_text(incident.training)},
          {"raised_at", model::to_rfc3339(incident.raised_at)},
          {"changed_at", model::to_rfc3339(incident.changed_at)},
          {"cleared_at", time_or_null(incident.cleared_at)},
          {"summary", incident.summary},
          {"evidence", std::move(evidence)},
          {"remedy", remedy_form(incident.remedy)},
          {"earlier_kinds", incident.earlier_kinds},
          {"times_raised", incident.times_raised},
          {"chattering", incident.chattering},
          {"planned", incident.planned},
          {"shelved_until", time_or_null(incident.shelved_until)},
          {"outcome", incident.outcome},
          {"proof", to_text(incident.proof)},
          {"proved_at", time_or_null(incident.proved_at)},
          {"actions", actions_form(incident.actions)},
          {"changes", changes_form(incident.changes)}};
}

Json notice_form(const incidents::Transition& transition) {
  return {{"notice", to_text(transition.what)},
          {"at", model::to_rfc3339(transition.at)},
          {"incident", incident_form(transition.incident)}};
}

}  // namespace frisket::json
