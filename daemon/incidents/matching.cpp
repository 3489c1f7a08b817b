#include "daemon/incidents/matching.h"

#include <algorithm>
#include <iterator>

#include "daemon/incidents/history.h"
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

bool stood_open(const Incident& incident, const Condition& condition) {
  return std::ranges::any_of(incident.evidence, [&](const Condition& known) {
    return stands_open(known) && home_of(known) == home_of(condition);
  });
}

// A jam that the last reading still showed, or what was open then and still is.
bool was_opened_for(const Incident& incident, const Condition& condition) {
  if (!stands_open(condition)) return false;
  if (std::ranges::any_of(incident.evidence, is_jam)) return true;
  const auto names_jam = [](const std::string& kind) { return family_of(kind) == "jam"; };
  const bool was_jam = names_jam(incident.kind) || std::ranges::any_of(incident.earlier_kinds, names_jam);
  return was_jam && stood_open(incident, condition);
}

bool is_what_was_opened(const Incident& incident, const Problem& problem) {
  return std::ranges::any_of(problem.conditions,
                             [&](const Condition& condition) { return was_opened_for(incident, condition); });
}

bool is_jam_or_opening(const Problem& problem) {
  return std::ranges::any_of(problem.conditions, [](const Condition& condition) {
    return family_of(condition.keyword) == "jam" || stands_open(condition);
  });
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
  for (const auto goes_on :
       {holds_own_home, shares_evidence, is_what_was_opened, is_same_less_precisely, is_explained_by}) {
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

bool was_opened_for_a_jam(const std::vector<const Incident*>& open, const Condition& condition) {
  return std::ranges::any_of(open, [&](const Incident* incident) { return was_opened_for(*incident, condition); });
}

void join_what_was_opened(const std::vector<const Incident*>& open, std::vector<Problem>& problems) {
  const auto matches = match(open, problems);
  for (std::size_t i = 0; i < open.size(); ++i) {
    const auto goes_on = matches[i];
    // What goes on as an empty tray says nothing of a cover.
    if (!goes_on || !is_jam_or_opening(problems[*goes_on])) continue;
    for (std::size_t p = 0; p < problems.size(); ++p) {
      // What another incident is about stays with that one.
      if (std::ranges::find(matches, std::optional(p)) != matches.end()) continue;
      if (!is_what_was_opened(*open[i], problems[p])) continue;
      std::ranges::move(problems[p].conditions, std::back_inserter(problems[*goes_on].conditions));
      problems[p].conditions.clear();
    }
  }
  std::erase_if(problems, [](const Problem& problem) { return problem.conditions.empty(); });
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
