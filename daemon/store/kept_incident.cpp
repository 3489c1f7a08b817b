#include "daemon/store/kept_incident.h"

#include "daemon/store/kept_condition.h"

namespace frisket::store {

template <>
struct Fields<incidents::CarriedPart> {
  static auto of(auto& part) {
    return std::tuple(field("part", part.part),          //
                      field("maker", part.maker),        //
                      field("colorant", part.colorant),  //
                      field("count", part.count));
  }
};

template <>
struct Fields<incidents::Remedy> {
  static auto of(auto& remedy) {
    return std::tuple(field("cautions", remedy.cautions),  //
                      field("steps", remedy.steps),        //
                      field("carry", remedy.carry));
  }
};

template <>
struct Fields<incidents::StatusChange> {
  static auto of(auto& change) {
    return std::tuple(field("at", change.at),              //
                      field("what", change.what),          //
                      field("severity", change.severity),  //
                      field("kind", change.kind),          //
                      field("text", change.text));
  }
};

template <>
struct Fields<incidents::OperatorAction> {
  static auto of(auto& action) {
    return std::tuple(field("at", action.at),        //
                      field("state", action.state),  //
                      field("by", action.by),        //
                      field("note", action.note),    //
                      field("until", action.until));
  }
};

template <>
struct Fields<incidents::Incident> {
  static auto of(auto& incident) {
    return std::tuple(field("id", incident.id),                          //
                      field("kind", incident.kind),                      //
                      field("device", incident.device),                  //
                      field("queue", incident.queue),                    //
                      field("site", incident.site),                      //
                      field("subunit", incident.subunit),                //
                      field("place", incident.place),                    //
                      field("severity", incident.severity),              //
                      field("state", incident.state),                    //
                      field("operator_state", incident.operator_state),  //
                      field("training", incident.training),              //
                      field("raised_at", incident.raised_at),            //
                      field("changed_at", incident.changed_at),          //
                      field("cleared_at", incident.cleared_at),          //
                      field("summary", incident.summary),                //
                      field("evidence", incident.evidence),              //
                      field("remedy", incident.remedy),                  //
                      field("earlier_kinds", incident.earlier_kinds),    //
                      field("shelved_until", incident.shelved_until),    //
                      field("actions", incident.actions),                //
                      field("changes", incident.changes),                //
                      field("times_raised", incident.times_raised),      //
                      field("quiet_since", incident.quiet_since),        //
                      field("chattering", incident.chattering),          //
                      field("planned", incident.planned),                //
                      field("outcome", incident.outcome),                //
                      field("proof", incident.proof),                    //
                      field("proved_at", incident.proved_at),            //
                      field("impressions_at_clear", incident.impressions_at_clear));
  }
};

std::string kept_text(const incidents::Incident& incident) { return text_of(incident); }

model::Result<incidents::Incident> incident_from(std::string_view text) {
  return value_of<incidents::Incident>(text, "a kept incident");
}

incidents::Transition as_kept(incidents::Transition transition) {
  auto& incident = transition.incident;
  incident.evidence.clear();
  incident.remedy = {};
  incident.actions.clear();
  incident.changes.clear();
  return transition;
}

}  // namespace frisket::store
