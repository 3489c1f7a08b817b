// What remains when the particular has been heard: the subunits' status, what was said
// before, and the host status.
#include <algorithm>

#include "daemon/incidents/kinds.h"
#include "daemon/incidents/witnesses.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::SubunitStatus;
using Availability = SubunitStatus::Availability;
using Part = Subunit::Kind;

template <class Row>
std::optional<SubunitStatus> status_in(const std::vector<Row>& rows, std::int32_t index) {
  for (const auto& row : rows)
    if (row.index == index) return row.status;
  return std::nullopt;
}

std::optional<SubunitStatus> status_of(const Subunit& subunit, const DeviceSnapshot& snapshot) {
  switch (subunit.kind) {
    case Part::input:
      return status_in(snapshot.inputs, subunit.index);
    case Part::output:
      return status_in(snapshot.outputs, subunit.index);
    case Part::marker:
      return status_in(snapshot.markers, subunit.index);
    case Part::media_path:
      return status_in(snapshot.media_paths, subunit.index);
    case Part::channel:
      return status_in(snapshot.channels, subunit.index);
    default:
      return std::nullopt;
  }
}

bool says_alert(const SubunitStatus& status) { return status.critical_alerts || status.non_critical_alerts; }

bool is_clean(const SubunitStatus& status) {
  return !says_alert(status) &&
         (status.availability == Availability::idle || status.availability == Availability::standby ||
          status.availability == Availability::active || status.availability == Availability::busy);
}

template <class Rows>
void hear_status_of(Hearing& hearing, const Rows& rows, Part part, std::string_view object) {
  for (const auto& row : rows) {
    const bool broken = row.status.availability == Availability::broken;
    if (!broken && !row.status.critical_alerts) continue;
    const Subunit subunit{part, row.index};
    const Witness witness{Witness::Source::subunit_status, std::string(object) + " " + model::to_text(row.status)};
    const auto here = [&](const std::string&, const Subunit& at) { return at == subunit; };
    if (hearing.claims.add_to(here, witness)) continue;
    // A jam makes every subunit of the path unavailable: a stop that is explained elsewhere explains
    // this too.
    const auto stops = [](const auto& entry) { return kind_of(entry.first.second).stops; };
    if (std::ranges::any_of(hearing.claims.all(), stops)) continue;
    auto& claim = hearing.claims.add("other", subunit, witness);
    claim.critical_row = row.status.critical_alerts;
    claim.at_least = Severity::major;
  }
}

bool supply_is_fine_again(const model::Supply& supply, const config::Rules& rules) {
  const auto percent = supply.percent();
  return percent && *percent >= threshold_for(supply, rules).clear_at;
}

bool input_has_paper(const model::Input& input) {
  const auto left = model::amount_of(input.current_level);
  return (left && *left > 0) || std::holds_alternative<model::SomeLeft>(input.current_level);
}

bool cover_is_closed(const model::Cover& cover) {
  return cover.status == model::CoverStatus::cover_closed || cover.status == model::CoverStatus::interlock_closed;
}

// Kept because the subunit's own status still speaks of an alert.
bool keep_by_status(Hearing& hearing, const Condition& earlier) {
  const auto status = status_of(earlier.subunit, hearing.snapshot);
  if (!status || !says_alert(*status) || hearing.claims.any_at(earlier.subunit)) return false;
  if (!says(earlier, Witness::Source::alert_table) && !says(earlier, Witness::Source::subunit_status)) return false;
  auto& claim = hearing.claims.add(earlier.keyword, earlier.subunit,
                                   {Witness::Source::subunit_status, "status still " + model::to_text(*status)});
  claim.critical_row = status->critical_alerts;
  claim.warning_row = !status->critical_alerts;
  claim.lasting_row = true;
  claim.at_least = earlier.severity;
  claim.device_text = earlier.device_text;
  return true;
}

// Kept because its row was unary, and went without saying that the condition did.
void keep_unary(Hearing& hearing, const Condition& earlier) {
  const auto key = condition_key(earlier.keyword, earlier.subunit);
  const auto seen = hearing.before.unary_rows.find(key);
  if (seen == hearing.before.unary_rows.end() || hearing.at - seen->second >= kUnaryStays) return;
  const auto status = status_of(earlier.subunit, hearing.snapshot);
  if (status && is_clean(*status)) return;
  auto& claim =
      hearing.claims.add(earlier.keyword, earlier.subunit,
                         {Witness::Source::alert_table, "a warning row that is gone, without a word of the end"});
  claim.warning_row = true;
  claim.at_least = earlier.severity;
  claim.device_text = earlier.device_text;
  hearing.after.unary_rows[key] = seen->second;
}

}  // namespace

bool is_disproved(const Condition& earlier, const DeviceSnapshot& snapshot, const config::Rules& rules) {
  switch (earlier.subunit.kind) {
    case Part::cover: {
      const auto* cover = find_cover(snapshot, earlier.subunit.index);
      return cover == nullptr || cover_is_closed(*cover);
    }
    case Part::supply: {
      const auto* supply = find_supply(snapshot, earlier.subunit.index);
      return supply == nullptr || supply_is_fine_again(*supply, rules);
    }
    case Part::input: {
      const auto* input = find_input(snapshot, earlier.subunit.index);
      if (input == nullptr) return true;
      return earlier.keyword == "media-empty" && input_has_paper(*input);
    }
    default:
      return false;
  }
}

void hear_status(Hearing& hearing) {
  hear_status_of(hearing, hearing.snapshot.inputs, Part::input, "prtInputStatus");
  hear_status_of(hearing, hearing.snapshot.outputs, Part::output, "prtOutputStatus");
  hear_status_of(hearing, hearing.snapshot.markers, Part::marker, "prtMarkerStatus");
  hear_status_of(hearing, hearing.snapshot.media_paths, Part::media_path, "prtMediaPathStatus");
}

void hear_memory(Hearing& hearing) {
  for (const auto& earlier : hearing.before.conditions) {
    if (says(earlier, Witness::Source::history)) continue;  // history.h decides
    if (hearing.claims.find(earlier.keyword, earlier.subunit) != nullptr) continue;
    if (is_disproved(earlier, hearing.snapshot, hearing.rules)) continue;
    if (!keep_by_status(hearing, earlier)) keep_unary(hearing, earlier);
  }
  for (const auto& [key, claim] : hearing.claims.all()) {
    const bool row = std::ranges::any_of(
        claim.witnesses, [](const Witness& witness) { return witness.source == Witness::Source::alert_table; });
    // emplace: what keep_unary() has noted above keeps its time.
    if (row && !claim.lasting_row) hearing.after.unary_rows.emplace(condition_key(key.second, key.first), hearing.at);
  }
}

void hear_host_status(Hearing& hearing) {
  const auto& host = hearing.snapshot.host;
  if (host.device != model::HostDeviceStatus::down || host.printer == model::HostPrinterStatus::warmup) return;
  const auto explains = [](const auto& entry) { return kind_of(entry.first.second).stops; };
  if (std::ranges::any_of(hearing.claims.all(), explains)) return;
  std::string says = "hrDeviceStatus down";
  if (host.printer) says += ", hrPrinterStatus " + model::label(*host.printer);
  hearing.claims.add("unexplained-stop", {}, {Witness::Source::host_status, std::move(says)});
}

}  // namespace frisket::incidents
