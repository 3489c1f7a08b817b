// What people say of incidents (RFC 8632 section 3.5.2). The state itself stays the instrumentation's.
#include <algorithm>

#include "daemon/incidents/correlator_state.h"

namespace frisket::incidents {
namespace {

constexpr std::chrono::days kLongestShelving{90};

model::Error refused(const std::string& id, std::string what) {
  return {model::Error::Kind::invalid, "changing the operator's state", id, std::move(what)};
}

}  // namespace

void Correlator::State::set_operator(Incident& incident, OperatorAction action) {
  incident.operator_state = action.state;
  incident.shelved_until = action.state == OperatorState::shelved ? action.until : std::nullopt;
  if (incident.shelved_until) timed.insert(incident.id);
  incident.actions.push_back(std::move(action));
  if (incident.actions.size() > kActionsKept) incident.actions.erase(incident.actions.begin());
}

// Somebody has said that he is at it.
bool Correlator::State::acknowledged(const DeviceRecord& record) {
  return std::ranges::any_of(record.open, [&](const std::string& id) {
    const auto* incident = find_incident(id);
    return incident != nullptr && incident->operator_state == OperatorState::ack;
  });
}

model::Result<std::vector<Transition>> Correlator::act(const std::string& id, OperatorAction action) {
  auto& state = *state_;
  state.now = std::max(state.now, action.at);
  action.at = state.now;
  auto* incident = state.find_incident(id);
  if (incident == nullptr) return refused(id, "there is no such incident");
  if (action.by.size() > kLongestSaying || action.note.size() > kLongestSaying)
    return refused(id, "name and note are at most " + std::to_string(kLongestSaying) + " bytes");
  const bool raised = incident->state == Incident::State::raised;
  if (!raised && action.state != OperatorState::closed) return refused(id, "it is cleared: it can only be closed");
  if (action.state == OperatorState::shelved) {
    if (!action.until) return refused(id, "shelving needs a time until when");
    if (*action.until <= state.now) return refused(id, "the time until when it is shelved is over already");
    if (*action.until - state.now > kLongestShelving) return refused(id, "shelving is for 90 days at most");
  } else {
    action.until.reset();
  }
  if (action.state == OperatorState::none && incident->operator_state == OperatorState::none)
    return refused(id, "nobody has said anything of it that could be taken back");
  state.set_operator(*incident, std::move(action));
  incident->changed_at = state.now;
  state.tell(What::operator_action, *incident);
  return state.told();
}

}  // namespace frisket::incidents
