#include "daemon/incidents/correlator.h"

#include <algorithm>
#include <deque>
#include <set>
#include <string_view>
#include <unordered_map>

#include "daemon/incidents/causes.h"
#include "daemon/incidents/device_state.h"
#include "daemon/incidents/incident_id.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/matching.h"
#include "daemon/incidents/remedies.h"
#include "probes/model/identity.h"

namespace frisket::incidents {
namespace {

using model::Reach;

constexpr std::size_t kEarlierKinds = 8;

// Everything known of one configured device.
struct DeviceRecord {
  config::Device device;
  DeviceStatus status;
  DeviceMemory memory;
  int missed = 0;                 // polls in a row without a usable answer
  WallTime missed_since;          // the first of them
  std::vector<std::string> open;  // ids of its raised incidents, in order
  // The same snapshot again would bring the same conditions again: nothing in them waits for time.
  bool settled = false;
  std::optional<WallTime> next_due;  // when a condition that is not yet a problem becomes one
};

std::string_view reach_keyword(Reach reach) {
  switch (reach) {
    case Reach::refused:
      return "device-refused";
    case Reach::unknown_user:
      return "device-unknown-user";
    case Reach::wrong_key:
      return "device-wrong-key";
    case Reach::nonsense:
      return "device-nonsense";
    default:
      return "device-silent";
  }
}

bool is_about_reach(const Incident& incident) { return kind_of(incident.kind).family == "reach"; }

bool is_due(const Condition& condition, WallTime now) {
  const auto& kind = kind_of(condition.keyword);
  return kind.problem && now - condition.since >= kind.delay;
}

std::optional<WallTime> next_due_of(const std::vector<Condition>& conditions, WallTime now) {
  std::optional<WallTime> next;
  for (const auto& condition : conditions) {
    const auto& kind = kind_of(condition.keyword);
    if (!kind.problem || is_due(condition, now)) continue;
    const auto due = condition.since + kind.delay;
    if (!next || due < *next) next = due;
  }
  return next;
}

// Kinds that say little by themselves are told in the device's own words.
std::string sentence_for(const Condition& lead) {
  // "A cover" is a place, but no way to start a sentence that helps.
  const bool placed = lead.subunit.index > 0;
  auto sentence = summary_of(lead.keyword, placed ? lead.place : "");
  const auto& row = kind_of(lead.keyword).keyword;
  const bool vague = row == "other" || row == "unknown" || row == "*" || row == "subunit-unrecoverable-failure" ||
                     row == "subunit-recoverable-failure" || row == "input-media-change-request";
  if (!vague || lead.device_text.empty()) return sentence;
  if (sentence.ends_with('.')) sentence.pop_back();
  return sentence + ": \"" + lead.device_text + "\".";
}

// What a person would call a change. The witnesses' wording (a level that falls by one) is not.
bool looks_different(const Incident& a, const Incident& b) {
  if (std::tie(a.kind, a.site, a.subunit, a.place, a.severity, a.training, a.summary) !=
      std::tie(b.kind, b.site, b.subunit, b.place, b.severity, b.training, b.summary))
    return true;
  return !std::ranges::equal(a.evidence, b.evidence, [](const Condition& x, const Condition& y) {
    return std::tie(x.keyword, x.subunit, x.severity) == std::tie(y.keyword, y.subunit, y.severity);
  });
}

}  // namespace

struct Correlator::State {
  config::Config config;
  std::map<std::string, DeviceRecord> devices;
  std::unordered_map<std::string_view, DeviceRecord*> by_name;  // the same, for every reading's look-up
  std::map<std::string, Incident> incidents;                    // by id
  std::deque<std::string> cleared;                              // ids, the longest cleared first
  IncidentIds ids;
  WallTime now;
  std::vector<Transition> transitions;

  DeviceRecord* find(std::string_view name) const {
    const auto found = by_name.find(name);
    return found == by_name.end() ? nullptr : found->second;
  }
  void configure(config::Config next);
  void answered(DeviceRecord& record, const model::DeviceReading& reading);
  void missed(DeviceRecord& record, const model::DeviceReading& reading);
  void reconcile(DeviceRecord& record);
  void reconcile_reach(DeviceRecord& record);
  void raise(DeviceRecord& record, const Problem& problem);
  void update(DeviceRecord& record, Incident& incident, const Problem& problem);
  void clear(Incident& incident);
  void clear_at(DeviceRecord& record, const std::string& id);
  void fill(const DeviceRecord& record, const Problem& problem, Incident& incident) const;
  void tell(Transition::What what, const Incident& incident) { transitions.push_back({what, now, incident}); }
  std::vector<Transition> told() { return std::exchange(transitions, {}); }
};

void Correlator::State::configure(config::Config next) {
  config = std::move(next);
  for (auto record = devices.begin(); record != devices.end();) {
    if (config.find_device(record->first) != nullptr) {
      ++record;
      continue;
    }
    for (const auto& id : record->second.open) clear(incidents.at(id));
    record = devices.erase(record);
  }
  for (const auto& device : config.devices) {
    auto& record = devices[device.name];
    record.device = device;
    record.settled = false;  // the rules may be others
  }
  by_name.clear();
  for (auto& [name, record] : devices) by_name.emplace(name, &record);
}

void Correlator::State::fill(const DeviceRecord& record, const Problem& problem, Incident& incident) const {
  const auto& lead = problem.lead();
  incident.kind = lead.keyword;
  incident.device = record.device.name;
  incident.site = record.device.site;
  incident.subunit.reset();
  if (lead.subunit.kind != Subunit::Kind::device) incident.subunit = lead.subunit;
  incident.place = lead.place;
  incident.severity = problem.severity();
  incident.training = lead.training;
  incident.summary = sentence_for(lead);
  incident.evidence = problem.conditions;
  incident.remedy = remedy_for(problem, record.status.snapshot.get());
}

void Correlator::State::raise(DeviceRecord& record, const Problem& problem) {
  Incident incident;
  fill(record, problem, incident);
  incident.id = ids.next(now);
  incident.raised_at = incident.changed_at = now;
  record.open.push_back(incident.id);
  tell(Transition::What::raised, incident);
  incidents.emplace(incident.id, std::move(incident));
}

void Correlator::State::update(DeviceRecord& record, Incident& incident, const Problem& problem) {
  auto next = incident;
  fill(record, problem, next);
  const bool different = looks_different(incident, next);
  if (next.kind != incident.kind) {
    std::erase(next.earlier_kinds, incident.kind);
    next.earlier_kinds.push_back(incident.kind);
    if (next.earlier_kinds.size() > kEarlierKinds) next.earlier_kinds.erase(next.earlier_kinds.begin());
  }
  incident = std::move(next);
  if (!different) return;
  incident.changed_at = now;
  tell(Transition::What::changed, incident);
}

void Correlator::State::clear(Incident& incident) {
  incident.state = Incident::State::cleared;
  incident.cleared_at = incident.changed_at = now;
  tell(Transition::What::cleared, incident);
  cleared.push_back(incident.id);
  while (cleared.size() > kClearedKept) {
    incidents.erase(cleared.front());
    cleared.pop_front();
  }
}

void Correlator::State::clear_at(DeviceRecord& record, const std::string& id) {
  std::erase(record.open, id);
  clear(incidents.at(id));
}

void Correlator::State::reconcile(DeviceRecord& record) {
  std::vector<Condition> due;
  std::ranges::copy_if(record.memory.conditions, std::back_inserter(due),
                       [&](const Condition& condition) { return is_due(condition, now); });
  record.next_due = next_due_of(record.memory.conditions, now);
  const auto problems = problems_of(std::move(due));

  std::vector<const Incident*> open;
  for (const auto& id : record.open)
    if (const auto& incident = incidents.at(id); !is_about_reach(incident)) open.push_back(&incident);
  const auto matches = match(open, problems);

  // Ids by value: raising and clearing change what the pointers point into.
  std::vector<std::pair<std::string, std::optional<std::size_t>>> outcome;
  for (std::size_t i = 0; i < open.size(); ++i) outcome.emplace_back(open[i]->id, matches[i]);
  std::set<std::size_t> taken;
  for (const auto& [id, problem] : outcome) {
    if (!problem) {
      clear_at(record, id);
      continue;
    }
    taken.insert(*problem);
    update(record, incidents.at(id), problems[*problem]);
  }
  for (std::size_t i = 0; i < problems.size(); ++i)
    if (!taken.contains(i)) raise(record, problems[i]);
}

void Correlator::State::reconcile_reach(DeviceRecord& record) {
  const auto about_reach = [&](const std::string& id) { return is_about_reach(incidents.at(id)); };
  const auto known = std::ranges::find_if(record.open, about_reach);
  if (record.missed == 0) {
    if (known != record.open.end()) clear_at(record, std::string(*known));
    return;
  }
  if (known == record.open.end() && record.missed < config.polling.silent_after) return;
  const auto& kind = kind_of(reach_keyword(record.status.reach));
  Condition condition;
  condition.keyword = kind.keyword;
  condition.severity = kind.severity;
  condition.training = kind.training;
  condition.since = record.missed_since;
  condition.witnesses = {{Witness::Source::reachability, record.status.detail}};
  record.status.conditions = record.memory.conditions;
  record.status.conditions.push_back(condition);
  const Problem problem{{condition}};
  if (known == record.open.end())
    raise(record, problem);
  else
    update(record, incidents.at(*known), problem);
}

namespace {

void note_change(DeviceStatus& status, const model::DeviceSnapshot& next, WallTime now) {
  if (!status.snapshot || model::same_sources(*status.snapshot, next)) return;
  const auto change = model::change_of(model::identity_of(*status.snapshot), model::identity_of(next));
  if (change.firmware) status.firmware_changed_at = now;
  if (change.serial) status.serial_changed_at = now;
}

}  // namespace

void Correlator::State::answered(DeviceRecord& record, const model::DeviceReading& reading) {
  // Most readings: the device stands still.
  if (record.settled && record.missed == 0 && reading.snapshot == record.status.snapshot) {
    record.status.last_reading_at = now;
    if (record.next_due && *record.next_due <= now) reconcile(record);
    return;
  }
  auto derived = derive(*reading.snapshot, config.rules, record.memory, now);
  record.settled = derived.memory == record.memory && derived.memory.unary_rows.empty();
  record.memory = std::move(derived.memory);
  record.missed = 0;
  record.status.reach = Reach::answered;
  record.status.detail.clear();
  record.status.last_reading_at = now;
  note_change(record.status, *reading.snapshot, now);
  record.status.snapshot = reading.snapshot;
  record.status.state = state_of(*reading.snapshot, derived.conditions);
  record.status.conditions = std::move(derived.conditions);
  reconcile_reach(record);
  reconcile(record);
}

// Nothing is known of a device that does not answer, so whatever was wrong with it stays as it was.
void Correlator::State::missed(DeviceRecord& record, const model::DeviceReading& reading) {
  if (record.missed++ == 0) record.missed_since = now;
  record.status.reach = reading.reach == Reach::answered ? Reach::nonsense : reading.reach;
  record.status.detail = reading.detail;
  if (record.missed >= config.polling.silent_after)
    record.status.state = record.status.reach == Reach::silent ? DeviceState::silent : DeviceState::unknown;
  reconcile_reach(record);
}

Correlator::Correlator(config::Config config) : state_(std::make_unique<State>()) {
  state_->configure(std::move(config));
}
Correlator::~Correlator() = default;
Correlator::Correlator(Correlator&&) noexcept = default;
Correlator& Correlator::operator=(Correlator&&) noexcept = default;

std::vector<Transition> Correlator::apply(const model::DeviceReading& reading) {
  auto* record = state_->find(reading.device);
  if (record == nullptr) return {};
  state_->now = std::max(state_->now, reading.at);
  if (reading.reach == Reach::answered && reading.snapshot != nullptr)
    state_->answered(*record, reading);
  else
    state_->missed(*record, reading);
  return state_->told();
}

std::vector<Transition> Correlator::tick(WallTime now) {
  state_->now = std::max(state_->now, now);
  for (auto& [name, record] : state_->devices)
    if (record.missed == 0 && record.next_due && *record.next_due <= state_->now) state_->reconcile(record);
  return state_->told();
}

std::vector<Transition> Correlator::reconfigure(config::Config config, WallTime now) {
  state_->now = std::max(state_->now, now);
  state_->configure(std::move(config));
  return state_->told();
}

CorrelatorMemory Correlator::memory() const {
  CorrelatorMemory memory;
  memory.last_id = state_->ids.last();
  for (const auto& [id, incident] : state_->incidents) memory.incidents.push_back(incident);
  for (const auto& [name, record] : state_->devices) memory.devices.emplace(name, record.memory);
  return memory;
}

std::vector<Transition> Correlator::restore(CorrelatorMemory memory, WallTime now) {
  auto& state = *state_;
  state.now = std::max(state.now, now);
  for (auto& [name, record] : state.devices)
    if (const auto kept = memory.devices.find(name); kept != memory.devices.end()) {
      record.memory = kept->second;
      record.settled = false;
    }
  std::vector<std::pair<WallTime, std::string>> cleared;
  std::vector<std::string> orphans;
  for (auto& incident : memory.incidents) {
    memory.last_id = std::max(memory.last_id, id_number(incident.id).value_or(0));
    if (incident.state == Incident::State::cleared) {
      cleared.emplace_back(incident.cleared_at.value_or(incident.changed_at), incident.id);
    } else if (const auto record = state.devices.find(incident.device.value_or("")); record != state.devices.end()) {
      record->second.open.push_back(incident.id);
      if (!memory.devices.contains(record->first)) recall(incident, record->second.memory);
    } else {
      orphans.push_back(incident.id);
    }
    auto id = incident.id;
    state.incidents.insert_or_assign(std::move(id), std::move(incident));
  }
  state.ids = IncidentIds(std::max(state.ids.last(), memory.last_id));
  std::ranges::sort(cleared);
  for (auto& [at, id] : cleared) state.cleared.push_back(std::move(id));
  for (const auto& id : orphans) state.clear(state.incidents.at(id));
  return state.told();
}

const DeviceStatus* Correlator::device(const std::string& name) const {
  const auto* record = state_->find(name);
  return record == nullptr ? nullptr : &record->status;
}

std::vector<const Incident*> Correlator::incidents() const {
  std::vector<const Incident*> all;
  all.reserve(state_->incidents.size());
  for (const auto& [id, incident] : state_->incidents) all.push_back(&incident);
  return all;
}

const Incident* Correlator::incident(const std::string& id) const {
  const auto found = state_->incidents.find(id);
  return found == state_->incidents.end() ? nullptr : &found->second;
}

}  // namespace frisket::incidents
