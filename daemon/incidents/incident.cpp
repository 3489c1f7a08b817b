#include "daemon/incidents/incident.h"

#include <algorithm>

namespace frisket::incidents {

std::string_view to_text(Witness::Source source) {
  switch (source) {
    case Witness::Source::alert_table:
      return "alert-table";
    case Witness::Source::error_bits:
      return "error-bits";
    case Witness::Source::subunit_status:
      return "subunit-status";
    case Witness::Source::level:
      return "level";
    case Witness::Source::reachability:
      return "reachability";
    case Witness::Source::host_status:
      return "host-status";
    case Witness::Source::console:
      return "console";
    case Witness::Source::interface:
      return "interface";
    case Witness::Source::history:
      return "history";
    case Witness::Source::queue:
      return "queue";
  }
  return "unknown";
}

std::string_view to_text(Incident::State state) { return state == Incident::State::raised ? "raised" : "cleared"; }

std::string_view to_text(Proof proof) {
  switch (proof) {
    case Proof::none:
      return "none";
    case Proof::awaited:
      return "awaited";
    case Proof::held:
      return "held";
    case Proof::unseen:
      return "unseen";
  }
  return "none";
}

std::string_view to_text(OperatorState state) {
  switch (state) {
    case OperatorState::none:
      return "none";
    case OperatorState::ack:
      return "ack";
    case OperatorState::shelved:
      return "shelved";
    case OperatorState::closed:
      return "closed";
  }
  return "none";
}

std::string_view to_text(What what) {
  switch (what) {
    case What::raised:
      return "raised";
    case What::changed:
      return "changed";
    case What::cleared:
      return "cleared";
    case What::operator_action:
      return "operator-action";
    case What::proved:
      return "proved";
  }
  return "changed";
}

bool says(const Condition& condition, Witness::Source source) {
  return std::ranges::any_of(condition.witnesses,
                             [&](const Witness& witness) { return witness.source == source && !witness.contradicts; });
}

bool concerns(const Incident& incident, std::string_view kind) {
  if (incident.kind == kind) return true;
  if (std::ranges::find(incident.earlier_kinds, kind) != incident.earlier_kinds.end()) return true;
  return std::ranges::any_of(incident.evidence, [&](const Condition& condition) { return condition.keyword == kind; });
}

}  // namespace frisket::incidents
