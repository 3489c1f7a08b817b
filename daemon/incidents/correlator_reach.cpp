// Devices that do not answer, one by one.
#include <algorithm>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/reach.h"

namespace frisket::incidents {
namespace {

using model::Reach;

bool names_a_missed_poll(const Incident& incident) {
  return std::ranges::any_of(incident.evidence,
                             [](const Condition& condition) { return says(condition, Witness::Source::reachability); });
}

}  // namespace

std::chrono::seconds longest_hold(const config::Device& device) {
  return std::max<std::chrono::seconds>(std::chrono::minutes{1}, 2 * device.poll_interval);
}

bool is_about_reach(const Incident& incident) { return kind_of(incident.kind).family == "reach"; }

// Nothing is known of a device that does not answer, so whatever was wrong with it stays as it was.
void Correlator::State::missed(DeviceRecord& record, const model::DeviceReading& reading) {
  touched.insert(record.device->name);
  const bool alone =
      std::ranges::none_of(record.outages, [](const Outage* outage) { return !outage->incident.empty(); });
  auto& reach = record.memory.reach;
  record.left_behind = false;
  note_missed(reach, reading.reach, reading.detail, now, alone);
  record.status.reach = reach.last;
  record.status.detail = reach.detail;
  if (reach.missed >= config.polling.silent_after)
    record.status.state = reach.last == Reach::silent ? DeviceState::silent : DeviceState::unknown;
  for (auto* outage : record.outages) consider(*outage);
  reconcile_reach(record);
  reconcile_queues_of(record);
}

void Correlator::State::reconcile_reach(DeviceRecord& record) {
  const auto about_reach = [&](const std::string& id) { return is_about_reach(incidents.at(id)); };
  const auto open = std::ranges::find_if(record.open, about_reach);
  const auto known = open == record.open.end() ? std::string() : *open;
  const auto& reach = record.memory.reach;
  Problem problem;
  const bool suspect = !known.empty() && incidents.at(known).kind == "cable-suspect";
  if (auto cable = cable_condition(reach, *record.device, suspect, now))
    problem.conditions.push_back(std::move(*cable));
  const bool told_before = !known.empty() && names_a_missed_poll(incidents.at(known));
  const bool lasts = reach.missed >= config.polling.silent_after || (reach.missed > 0 && told_before);
  if (lasts) {
    auto condition = missed_condition(reach);
    record.status.conditions = record.memory.conditions;
    record.status.conditions.push_back(condition);
    if (record.outage.empty() && (told_before || !is_held(record))) problem.conditions.push_back(std::move(condition));
  } else {
    record.held_since.reset();
  }
  if (!record.in_service()) problem.conditions.clear();
  if (!problem.conditions.empty())
    for (auto& condition : waiting_queues(record)) problem.conditions.push_back(std::move(condition));
  if (problem.conditions.empty()) {
    if (!known.empty()) end(record, known);
  } else if (known.empty()) {
    raise(record, problem);
  } else {
    update(record, incidents.at(known), problem);
  }
}

// Told at once, the first of a whole site would be an incident of its own. So it waits until its
// neighbours' next polls show whether they are away too; not for long.
bool Correlator::State::is_held(DeviceRecord& record) {
  if (!record.held_since) record.held_since = now;
  if (now - *record.held_since >= longest_hold(*record.device)) return false;
  return std::ranges::any_of(record.outages, [&](const Outage* outage) { return is_suspected(*outage); });
}

}  // namespace frisket::incidents
