// The alert table's rows (prtAlertTable, RFC 3805 section 2.2.13).
#include "daemon/incidents/witnesses.h"

namespace frisket::incidents {
namespace {

using model::Alert;
using model::AlertSeverity;
using model::AlertTraining;

bool asks_for_somebody(const Alert& alert) {
  if (alert.severity == AlertSeverity::critical) return true;
  if (alert.severity == AlertSeverity::other) return false;  // a report
  return alert.training != AlertTraining::no_intervention_required;
}

// A bypass tray is empty nearly always; that is a problem only when printing waits for it.
bool is_idle_bypass(const Alert& alert, const Finding& finding, const model::DeviceSnapshot& snapshot) {
  if (alert.severity == AlertSeverity::critical || finding.subunit.kind != Subunit::Kind::input) return false;
  if (finding.keyword != "media-empty" && finding.keyword != "media-low") return false;
  const auto* input = find_input(snapshot, finding.subunit.index);
  return input != nullptr && input->type == model::InputType::sheet_feed_manual;
}

std::optional<Training> training_said(const Alert& alert) {
  switch (alert.training) {
    case AlertTraining::untrained:
      return Training::untrained;
    case AlertTraining::trained:
    case AlertTraining::management:
      return Training::trained;
    case AlertTraining::field_service:
      return Training::field_service;
    default:
      return std::nullopt;
  }
}

Witness witness_of(const Alert& alert) {
  std::string says = "prtAlertTable row " + std::to_string(alert.index) + ": " + model::label(alert.severity) + ", " +
                     model::label(alert.code);
  if (!alert.description.empty()) says += ", '" + alert.description + "'";
  return {Witness::Source::alert_table, std::move(says)};
}

}  // namespace

void hear_alert_rows(Hearing& hearing) {
  for (const auto& alert : hearing.snapshot.alerts) {
    if (!asks_for_somebody(alert)) continue;
    const auto finding = finding_of(alert, hearing.snapshot);
    if (!finding || is_idle_bypass(alert, *finding, hearing.snapshot)) continue;
    auto& claim = hearing.claims.add(finding->keyword, finding->subunit, witness_of(alert));
    const bool critical = alert.severity == AlertSeverity::critical;
    claim.critical_row = claim.critical_row || critical;
    claim.warning_row = claim.warning_row || !critical;
    claim.lasting_row = claim.lasting_row || alert.severity != AlertSeverity::warning;
    if (const auto said = training_said(alert)) claim.training = std::max(claim.training.value_or(*said), *said);
    // Of several texts the first in order of the alphabet, so that the rows' order does not matter.
    if (!alert.description.empty() && (claim.device_text.empty() || alert.description < claim.device_text))
      claim.device_text = alert.description;
  }
}

}  // namespace frisket::incidents
