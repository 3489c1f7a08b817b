// A reading's conditions against what is raised.
#include <algorithm>
#include <set>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/device_state.h"
#include "daemon/incidents/history.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/matching.h"
#include "daemon/incidents/reach.h"
#include "probes/model/identity.h"

namespace frisket::incidents {
namespace {

using model::Reach;

// A level that rises by so much is another cartridge, not one that was shaken. Common practice, no source.
constexpr double kReplacedRise = 20;

std::chrono::seconds delay_of(const Condition& condition, bool at_work, const config::Rules& rules) {
  const auto delay = kind_of(condition.keyword).delay;
  return at_work && stands_open(condition) ? std::max(delay, rules.cover_grace) : delay;
}

bool is_evidence(const Incident& incident, const Condition& condition) {
  return std::ranges::any_of(incident.evidence, [&](const Condition& known) {
    return known.keyword == condition.keyword && known.subunit == condition.subunit;
  });
}

void note_change(DeviceStatus& status, const model::DeviceSnapshot& next, WallTime now) {
  if (!status.snapshot || model::same_sources(*status.snapshot, next)) return;
  const auto change = model::change_of(model::identity_of(*status.snapshot), model::identity_of(next));
  if (change.firmware) status.firmware_changed_at = now;
  if (change.serial) status.serial_changed_at = now;
}

}  // namespace

void Correlator::State::answered(DeviceRecord& record, const model::DeviceReading& reading) {
  // Most readings: the device stands still.
  auto& reach = record.memory.reach;
  const bool was_missed = reach.missed > 0;
  if (record.settled && !was_missed && reading.snapshot == record.status.snapshot) {
    record.status.last_reading_at = now;
    if (record.next_due && *record.next_due <= now) reconcile(record);
    return;
  }
  record.left_behind = false;
  touched.insert(record.device->name);
  note_answered(reach, *reading.snapshot, now);
  if (acknowledged(record)) record.memory.at_work = now;
  note_replacements(record, *reading.snapshot);
  auto derived = derive(*reading.snapshot, config.rules, record.memory, now);
  record.settled = derived.memory == record.memory && !waits_for_time(derived.memory);
  record.memory = std::move(derived.memory);
  record.status.reach = Reach::answered;
  record.status.detail.clear();
  record.status.last_reading_at = now;
  note_change(record.status, *reading.snapshot, now);
  record.status.snapshot = reading.snapshot;
  if (!record.queues.empty() || !queues.empty())
    ties.learn_serial(record.device->name, model::identity_of(*reading.snapshot).serial);
  record.status.state = state_of(*reading.snapshot, derived.conditions);
  record.status.conditions = std::move(derived.conditions);
  if (was_missed)
    for (auto* outage : record.outages) consider(*outage);
  reconcile_reach(record);
  watch_proofs(record);
  reconcile(record);
  reconcile_queues_of(record);
}

void Correlator::State::reconcile(DeviceRecord& record) {
  const bool at_work = is_at_work(record.memory, config.rules, now);
  std::vector<const Incident*> open;
  for (const auto& id : record.open)
    if (const auto& incident = incidents.at(id); !is_about_reach(incident)) open.push_back(&incident);
  // Who starts to work on what has been raised does not end it.
  const auto is_raised = [&](const Condition& condition) {
    return std::ranges::any_of(open, [&](const Incident* incident) { return is_evidence(*incident, condition); });
  };
  // What stands open belongs to the jam that is there, or was until now.
  const bool jammed = std::ranges::any_of(record.memory.conditions, is_jam);
  const auto is_work_on_jam = [&](const Condition& condition) {
    return jammed ? stands_open(condition) : was_opened_for_a_jam(open, condition);
  };
  std::vector<Condition> due;
  record.next_due.reset();
  for (const auto& condition : record.memory.conditions) {
    if (!kind_of(condition.keyword).problem) continue;
    const auto from = condition.since + delay_of(condition, at_work, config.rules);
    if (from <= now || is_raised(condition) || is_work_on_jam(condition))
      due.push_back(condition);
    else if (!record.next_due || from < *record.next_due)
      record.next_due = from;
  }
  if (!record.in_service()) due.clear();
  auto problems = problems_of(std::move(due));
  join_what_was_opened(open, problems);

  const auto matches = match(open, problems);

  // Only now: what waits for the printer says nothing of which trouble goes on as which.
  add_waiting_queues(record, problems);
  settle_problems(record, open, problems, matches);
}

void Correlator::State::note_replacements(DeviceRecord& record, const model::DeviceSnapshot& next) {
  std::erase_if(record.memory.replaced,
                [&](const Replacement& replacement) { return now - replacement.at > config.rules.returns_within; });
  for (const auto& supply : next.supplies) {
    const auto before = record.memory.percent.find(supply.index);
    const auto after = supply.percent();
    if (before == record.memory.percent.end() || !after || *after - before->second < kReplacedRise) continue;
    Replacement replacement;
    replacement.device = record.device->name;
    replacement.supply = supply.index;
    replacement.description = supply.description;
    replacement.colorant = supply.colorant;
    replacement.at = now;
    replacement.percent_before = before->second;
    replacement.percent_after = after;
    replacement.impressions = next.impressions();
    record.memory.replaced.push_back(replacement);
    replaced.push_back(std::move(replacement));
  }
}

}  // namespace frisket::incidents
