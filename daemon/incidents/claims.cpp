#include "daemon/incidents/claims.h"

#include <algorithm>

#include "daemon/incidents/findings.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/place.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::HostDeviceStatus;
using model::HostPrinterStatus;

// Down with warm-up is a printer that is coming back (RFC 3805 section 2.2.13.2, "Moving on-line").
bool is_stopped(const DeviceSnapshot& snapshot) {
  return snapshot.host.device == HostDeviceStatus::down && snapshot.host.printer != HostPrinterStatus::warmup;
}

bool is_working(const DeviceSnapshot& snapshot) {
  return snapshot.host.device == HostDeviceStatus::running || snapshot.host.device == HostDeviceStatus::warning;
}

bool has_source(const Claim& claim, Witness::Source source) {
  return std::ranges::any_of(claim.witnesses, [&](const Witness& witness) { return witness.source == source; });
}

// Whose fault a stop is, where no row says critical: what the error bits name, else whatever can stop
// a printer.
struct StopCause {
  bool looked_for = false;
  bool bits_name_it = false;

  bool is(const Kind& kind, const Claim& claim) const {
    if (!looked_for || !kind.stops) return false;
    return !bits_name_it || has_source(claim, Witness::Source::error_bits);
  }
};

StopCause stop_cause(const Claims& claims, const DeviceSnapshot& snapshot) {
  StopCause cause;
  cause.looked_for = is_stopped(snapshot) && !claims.any_critical_row();
  cause.bits_name_it = std::ranges::any_of(claims.all(), [](const auto& entry) {
    return kind_of(entry.first.second).stops && has_source(entry.second, Witness::Source::error_bits);
  });
  return cause;
}

Severity settled_severity(const Kind& kind, const Claim& claim, const StopCause& cause,
                          const DeviceSnapshot& snapshot) {
  if (claim.critical_row) return Severity::critical;
  if (cause.is(kind, claim)) return Severity::critical;
  const auto severity = std::max(kind.severity, claim.at_least.value_or(Severity::warning));
  // Critical is "printing has stopped": not where the device itself says it has not.
  const bool still_prints = claim.warning_row || is_working(snapshot);
  return still_prints ? std::min(severity, Severity::major) : severity;
}

}  // namespace

Claim& Claims::add(const std::string& keyword, const Subunit& subunit, Witness witness) {
  auto& claim = claims_[{subunit, keyword}];
  claim.witnesses.push_back(std::move(witness));
  return claim;
}

const Claim* Claims::find(const std::string& keyword, const Subunit& subunit) const {
  const auto found = claims_.find({subunit, keyword});
  return found == claims_.end() ? nullptr : &found->second;
}

bool Claims::any_at(const Subunit& subunit) const {
  return std::ranges::any_of(claims_, [&](const auto& entry) { return entry.first.first == subunit; });
}

bool Claims::any_critical_row() const {
  return std::ranges::any_of(claims_, [](const auto& entry) { return entry.second.critical_row; });
}

std::vector<Condition> settle(const Claims& claims, const DeviceSnapshot& snapshot, WallTime at) {
  const auto cause = stop_cause(claims, snapshot);
  std::vector<Condition> conditions;
  for (const auto& [key, claim] : claims.all()) {
    const auto& kind = kind_of(key.second);
    Condition condition;
    condition.keyword = key.second;
    condition.subunit = key.first;
    condition.severity = settled_severity(kind, claim, cause, snapshot);
    condition.training = claim.training.value_or(kind.training);
    condition.place = place_of(key.first, snapshot);
    condition.since = at;
    condition.witnesses = claim.witnesses;
    condition.device_text = claim.device_text;
    const auto order = [](const Witness& a, const Witness& b) {
      return std::tie(a.source, a.says) < std::tie(b.source, b.says);
    };
    std::ranges::sort(condition.witnesses, order);
    const auto same = std::ranges::unique(condition.witnesses);
    condition.witnesses.erase(same.begin(), same.end());
    conditions.push_back(std::move(condition));
  }
  return conditions;
}

}  // namespace frisket::incidents
