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
  }
  return "unknown";
}

std::string_view to_text(Incident::State state) { return state == Incident::State::raised ? "raised" : "cleared"; }

std::string_view to_text(Incident::Operator state) {
  switch (state) {
    case Incident::Operator::none:
      return "none";
    case Incident::Operator::ack:
      return "ack";
    case Incident::Operator::shelved:
      return "shelved";
    case Incident::Operator::closed:
      return "closed";
  }
  return "none";
}

std::string_view to_text(Transition::What what) {
  switch (what) {
    case Transition::What::raised:
      return "raised";
    case Transition::What::changed:
      return "changed";
    case Transition::What::cleared:
      return "cleared";
  }
  return "changed";
}

bool concerns(const Incident& incident, std::string_view kind) {
  if (incident.kind == kind) return true;
  if (std::ranges::find(incident.earlier_kinds, kind) != incident.earlier_kinds.end()) return true;
  return std::ranges::any_of(incident.evidence, [&](const Condition& condition) { return condition.keyword == kind; });
}

}  // namespace frisket::incidents
