#include "daemon/incidents/correlator.h"

#include <algorithm>
#include <utility>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/matching.h"
#include "daemon/incidents/reach.h"

namespace frisket::incidents {

using model::Reach;

DeviceRecord* Correlator::State::find(std::string_view name) const {
  const auto found = by_name.find(name);
  return found == by_name.end() ? nullptr : found->second;
}

Incident* Correlator::State::find_incident(const std::string& id) {
  const auto found = incidents.find(id);
  return found == incidents.end() ? nullptr : &found->second;
}

void Correlator::State::configure(config::Config next) {
  const auto before = std::exchange(config, std::move(next));  // records of devices that go still refer to it
  planned.configure(config);
  const auto configured = config.devices_by_name();
  for (auto record = devices.begin(); record != devices.end();) {
    if (configured.contains(record->first)) {
      ++record;
      continue;
    }
    for (const auto& id : record->second.open) clear(incidents.at(id), "no longer configured");
    record = devices.erase(record);
  }
  for (const auto& device : config.devices) {
    auto& record = devices[device.name];
    record.device = &device;
    record.settled = false;  // the rules may be others
  }
  by_name.clear();
  for (auto& [name, record] : devices) by_name.emplace(name, &record);
  find_outages();
  configure_queues();
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
  state_->replaced.clear();
  if (reading.reach == Reach::answered && reading.snapshot != nullptr)
    state_->answered(*record, reading);
  else
    state_->missed(*record, reading);
  return state_->told();
}

std::vector<Transition> Correlator::apply(const model::QueueReading& reading) {
  const auto record = state_->queues.find(reading.queue);
  if (record == state_->queues.end()) return {};
  state_->now = std::max(state_->now, reading.at);
  auto& queue = record->second;
  const bool answered = reading.reach == model::QueueReach::answered && reading.snapshot != nullptr;
  const bool there = answered || reading.reach == model::QueueReach::absent;
  state_->take_service(*queue.service, there ? model::QueueReach::answered : reading.reach, reading.detail);
  state_->take_queue(queue, reading.reach, reading.detail, reading.snapshot);
  return state_->told();
}

std::vector<Transition> Correlator::apply(const model::SpoolerReading& reading) {
  const auto* spooler = state_->config.find_spooler(reading.spooler);
  const auto service = state_->services.find(reading.spooler);
  if (spooler == nullptr || service == state_->services.end()) return {};
  state_->now = std::max(state_->now, reading.at);
  state_->take_service(service->second, reading.reach, reading.detail);
  state_->take_pass(service->second, *spooler, reading);
  return state_->told();
}

std::vector<Transition> Correlator::tick(WallTime now) {
  state_->now = std::max(state_->now, now);
  for (auto& [name, record] : state_->devices)
    if (record.memory.reach.missed == 0 && record.next_due && *record.next_due <= state_->now)
      state_->reconcile(record);
  // By value: what is due takes itself off the list.
  const std::vector<std::string> timed(state_->timed.begin(), state_->timed.end());
  for (const auto& id : timed) {
    if (auto* incident = state_->find_incident(id))
      state_->let_time_pass(*incident);
    else
      state_->timed.erase(id);
  }
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
      const auto& reach = record.memory.reach;
      record.status.reach = reach.last;
      record.status.detail = reach.detail;
      if (reach.missed >= state.config.polling.silent_after)
        record.status.state = reach.last == Reach::silent ? DeviceState::silent : DeviceState::unknown;
    }
  std::vector<std::pair<WallTime, std::string>> cleared;
  std::vector<std::string> orphans;
  for (auto& incident : memory.incidents) {
    memory.last_id = std::max(memory.last_id, id_number(incident.id).value_or(0));
    // What is due some time takes itself off the list.
    state.timed.insert(incident.id);
    if (incident.state == Incident::State::cleared) {
      cleared.emplace_back(incident.cleared_at.value_or(incident.changed_at), incident.id);
    } else if (incident.queue || is_about_queue(incident.kind)) {
      if (!state.restore_queue(incident)) orphans.push_back(incident.id);
    } else if (!incident.device) {
      // A place: recall_outages() below.
    } else if (const auto record = state.devices.find(incident.device.value_or("")); record != state.devices.end()) {
      add_open(record->second, incident.id);
      if (!memory.devices.contains(record->first)) recall(incident, record->second.memory);
    } else {
      orphans.push_back(incident.id);
    }
    auto id = incident.id;
    state.incidents.insert_or_assign(std::move(id), std::move(incident));
  }
  state.ids = IncidentIds(std::max(state.ids.last(), memory.last_id));
  std::ranges::sort(cleared);
  for (auto& [at, id] : cleared) {
    if (auto* subject = state.subject_of(state.incidents.at(id))) subject->recent.push_back(id);
    state.cleared.push_back(std::move(id));
  }
  state.recall_outages(memory.devices);
  for (const auto& id : orphans) state.clear(state.incidents.at(id), "no longer configured");
  return state.told();
}

std::vector<Replacement> Correlator::take_replacements() { return std::exchange(state_->replaced, {}); }

std::set<std::string> Correlator::take_touched() { return std::exchange(state_->touched, {}); }

std::uint64_t Correlator::last_id() const { return state_->ids.last(); }

const DeviceMemory* Correlator::memory_of(const std::string& device) const {
  const auto* record = state_->find(device);
  return record == nullptr ? nullptr : &record->memory;
}

const DeviceStatus* Correlator::device(const std::string& name) const {
  const auto* record = state_->find(name);
  return record == nullptr ? nullptr : &record->status;
}

const QueueStatus* Correlator::queue(const std::string& name) const {
  const auto record = state_->queues.find(name);
  return record == state_->queues.end() ? nullptr : &record->second.status;
}

std::vector<const QueueStatus*> Correlator::queues() const {
  std::vector<const QueueStatus*> all;
  for (const auto& [name, record] : state_->queues) all.push_back(&record.status);
  return all;
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
