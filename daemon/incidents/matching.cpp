#include "daemon/incidents/matching.h"

#include <algorithm>

#include "daemon/incidents/kinds.h"

namespace frisket::incidents {

Home own_home(const Incident& incident) { return {family_of(incident.kind), incident.subunit.value_or(Subunit{})}; }

namespace {

bool holds_own_home(const Incident& incident, const Problem& problem) {
  return problem.homes().contains(own_home(incident));
}

bool shares_evidence(const Incident& incident, const Problem& problem) {
  const auto homes = problem.homes();
  return std::ranges::any_of(incident.evidence,
                             [&](const Condition& condition) { return homes.contains(home_of(condition)); });
}

bool is_same_less_precisely(const Incident& incident, const Problem& problem) {
  const auto own = own_home(incident);
  const auto other = home_of(problem.lead());
  // All jams of a device are one problem, wherever they are.
  return own.first == other.first && (own.second.index == 0 || other.second.index == 0 || own.first == "jam");
}

bool is_explained_by(const Incident& incident, const Problem& problem) {
  return incident.kind == "unexplained-stop" && problem.severity() == Severity::critical;
}

Stage stage_said(const Condition& condition) {
  if (kind_of(condition.keyword).stops) return Stage::empty;
  return condition.severity >= Severity::minor ? Stage::nearly_empty : Stage::low;
}

}  // namespace

std::vector<std::optional<std::size_t>> match(const std::vector<const Incident*>& open,
                                              const std::vector<Problem>& problems) {
  std::vector<std::optional<std::size_t>> matches(open.size());
  std::vector<bool> taken(problems.size(), false);
  for (const auto goes_on : {holds_own_home, shares_evidence, is_same_less_precisely, is_explained_by}) {
    for (std::size_t i = 0; i < open.size(); ++i) {
      for (std::size_t p = 0; p < problems.size() && !matches[i]; ++p) {
        if (taken[p] || !goes_on(*open[i], problems[p])) continue;
        matches[i] = p;
        taken[p] = true;
      }
    }
  }
  return matches;
}

void recall(const Incident& incident, DeviceMemory& memory) {
  for (const auto& condition : incident.evidence) {
    if (const auto& family = kind_of(condition.keyword).family; family == "reach" || family == "site") continue;
    memory.conditions.push_back(condition);
    if (says(condition, Witness::Source::level) && condition.subunit.kind == Subunit::Kind::supply &&
        condition.subunit.index > 0)
      memory.stages[condition.subunit.index] = stage_said(condition);
  }
}

}  // namespace frisket::incidents
