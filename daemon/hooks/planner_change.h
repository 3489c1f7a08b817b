// What one call of the planner is about. Private to the planner.
#pragma once

#include <algorithm>
#include <map>

#include "daemon/hooks/planner.h"

namespace frisket::hooks {

// The notices that a call gives: each once, as it is in the end, in order of number.
class Gathered {
 public:
  void put(Notice notice) {
    const auto number = notice.number;
    notices_.insert_or_assign(number, std::move(notice));
  }
  Planner::Notices take() {
    Planner::Notices list;
    list.reserve(notices_.size());
    for (auto& [number, notice] : notices_) list.push_back(std::move(notice));
    return list;
  }

 private:
  std::map<std::uint64_t, Notice> notices_;
};

struct Planner::Change {
  Desk& desk;
  Known& known;
  Line& line;
  incidents::What what;
  model::WallTime at;   // of the change
  model::WallTime now;  // not before it
  Gathered& out;
  const incidents::Incident& incident = known.incident;

  bool opened_by(Notice::Reason reason) const {
    const auto opening = std::ranges::find(line.waiting, line.opening, &Notice::number);
    return opening != line.waiting.end() && opening->reason == reason;
  }
};

// Shelved, closed, or raised in a maintenance window.
inline bool is_held(const incidents::Incident& incident) {
  return incident.planned || incident.operator_state == incidents::OperatorState::shelved ||
         incident.operator_state == incidents::OperatorState::closed;
}

// The start of the present raising.
inline model::WallTime raised_since(const incidents::Incident& incident) {
  auto since = incident.raised_at;
  for (const auto& change : incident.changes)
    if (change.what == incidents::What::raised) since = std::max(since, change.at);
  return since;
}

inline bool changed_since(const incidents::Incident& incident, model::WallTime since) {
  return std::ranges::any_of(incident.changes, [&](const auto& change) { return change.at > since; });
}

}  // namespace frisket::hooks
