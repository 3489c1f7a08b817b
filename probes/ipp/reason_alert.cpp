#include "probes/ipp/reason_alert.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace frisket::ipp {
namespace {

using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;
using Mark = model::StateReason::Mark;

struct Meaning {
  std::string_view keyword;
  AlertCode code;
  AlertGroup group;
};

// Keywords of RFC 8011 section 5.4.12 that are not the label of a code. tests/facts/alert-to-ipp.tsv says
// which pairing was read where; those with a generic code have no code of their own there.
constexpr std::array kWords = {
    Meaning{"media-jam", AlertCode::jam, AlertGroup::media_path},
    Meaning{"door-open", AlertCode::door_open, AlertGroup::cover},
    Meaning{"input-tray-missing", AlertCode::input_media_tray_missing, AlertGroup::input},
    Meaning{"media-low", AlertCode::input_media_supply_low, AlertGroup::input},
    Meaning{"media-empty", AlertCode::input_media_supply_empty, AlertGroup::input},
    Meaning{"media-needed", AlertCode::input_media_change_request, AlertGroup::input},
    Meaning{"output-tray-missing", AlertCode::output_media_tray_missing, AlertGroup::output},
    Meaning{"output-area-almost-full", AlertCode::output_media_tray_almost_full, AlertGroup::output},
    Meaning{"output-area-full", AlertCode::output_media_tray_full, AlertGroup::output},
    Meaning{"fuser-under-temp", AlertCode::marker_fuser_under_temperature, AlertGroup::marker},
    Meaning{"fuser-over-temp", AlertCode::marker_fuser_over_temperature, AlertGroup::marker},
    Meaning{"toner-low", AlertCode::marker_toner_almost_empty, AlertGroup::marker_supplies},
    Meaning{"toner-empty", AlertCode::marker_toner_empty, AlertGroup::marker_supplies},
    Meaning{"developer-low", AlertCode::marker_developer_almost_empty, AlertGroup::marker_supplies},
    Meaning{"developer-empty", AlertCode::marker_developer_empty, AlertGroup::marker_supplies},
    Meaning{"opc-near-eol", AlertCode::marker_opc_life_almost_over, AlertGroup::marker_supplies},
    Meaning{"opc-life-over", AlertCode::marker_opc_life_over, AlertGroup::marker_supplies},
    Meaning{"marker-supply-low", AlertCode::subunit_almost_empty, AlertGroup::marker_supplies},
    Meaning{"marker-supply-empty", AlertCode::subunit_empty, AlertGroup::marker_supplies},
    Meaning{"marker-supply-missing", AlertCode::subunit_missing, AlertGroup::marker_supplies},
    Meaning{"marker-waste-almost-full", AlertCode::subunit_almost_full, AlertGroup::marker_supplies},
    Meaning{"marker-waste-full", AlertCode::subunit_full, AlertGroup::marker_supplies},
};

// What needs nobody: an operator's doing, or on its way. Those not in RFC 8011 are from memory
// (RFC 3998, PWG 5100.13, IANA IPP registry).
constexpr std::array<std::string_view, 13> kNoTrouble = {"connecting-to-device",
                                                         "moving-to-paused",
                                                         "paused",
                                                         "stopping",
                                                         "stopped-partly",
                                                         "hold-new-jobs",
                                                         "deactivated",
                                                         "identify-printer-requested",
                                                         "hibernate",
                                                         "standby",
                                                         "suspend",
                                                         "testing",
                                                         "resuming"};

// The families of PrtAlertCodeTC (IANA-PRINTER-MIB): hundreds by table.
AlertGroup group_of(AlertCode code) {
  const auto number = static_cast<std::int32_t>(code);
  if (code == AlertCode::jam) return AlertGroup::media_path;
  if (number >= 3 && number <= 6) return AlertGroup::cover;
  if (number == 501 || number == 502) return AlertGroup::cover;
  if (number >= 801 && number < 900) return AlertGroup::input;
  if (number >= 901 && number < 1000) return AlertGroup::output;
  if (number >= 1001 && number < 1100) return AlertGroup::marker;
  if (number >= 1101 && number < 1200) return AlertGroup::marker_supplies;
  if (number >= 1301 && number < 1400) return AlertGroup::media_path;
  if (number >= 1501 && number < 1600) return AlertGroup::interpreter;
  return AlertGroup::general_printer;
}

Meaning meaning_of(const std::string& keyword) {
  for (const auto& row : kWords)
    if (row.keyword == keyword) return row;
  for (const auto& row : model::listed<AlertCode>()) {
    const auto code = static_cast<AlertCode>(row.value);
    if (row.label == keyword) return {row.label, code, group_of(code)};
  }
  return {keyword, AlertCode::other, AlertGroup::general_printer};
}

AlertSeverity severity_of(Mark mark) {
  switch (mark) {
    case Mark::error:
      return AlertSeverity::critical;
    case Mark::warning:
      return AlertSeverity::warning_binary_change_event;
    default:
      return AlertSeverity::other;
  }
}

}  // namespace

std::optional<model::Alert> alert_of(const model::StateReason& reason, model::PrinterState state) {
  if (std::ranges::find(kNoTrouble, std::string_view(reason.keyword)) != kNoTrouble.end()) return std::nullopt;
  const auto meaning = meaning_of(reason.keyword);
  model::Alert alert;
  alert.severity = severity_of(model::effective_mark(reason, state));
  alert.group = meaning.group;
  alert.code = meaning.code;
  // A keyword that no code stands for is all there is to go by.
  if (meaning.code == AlertCode::other) alert.description = reason.keyword;
  return alert;
}

}  // namespace frisket::ipp
