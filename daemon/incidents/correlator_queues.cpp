// Print queues, and what they have to do with their devices.
#include <algorithm>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/device_state.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/matching.h"
#include "daemon/incidents/queue_agreement.h"

namespace frisket::incidents {
namespace {

using model::QueueReach;

constexpr int kAbsentPasses = 2;
constexpr std::size_t kMostWaiting = 16;  // queues named in one incident

bool is_of_the_config(const Condition& condition) { return kind_of(condition.keyword).family.starts_with("queue-"); }

// Everything about the queue's run, and what its device would have said, is one problem: the worst leads. What is
// wrong with its configuration is a problem each.
std::vector<Problem> problems_of_queue(std::vector<Condition> conditions) {
  std::vector<Condition> run;
  std::vector<Problem> problems;
  for (auto& condition : conditions) {
    if (!kind_of(condition.keyword).problem) continue;
    if (is_of_the_config(condition))
      problems.push_back({{std::move(condition)}});
    else
      run.push_back(std::move(condition));
  }
  if (run.empty()) return problems;
  // A jam explains the stop, so it leads, as the table of kinds has it.
  std::ranges::stable_sort(run, {}, [](const Condition& condition) { return rank_of(condition.keyword); });
  problems.insert(problems.begin(), {std::move(run)});
  return problems;
}

}  // namespace

void QueueRecord::name_in(Incident& incident) const {
  incident.queue = queue.name;
  incident.site = queue.site;
}

std::chrono::seconds QueueRecord::poll_interval() const {
  return service != nullptr && service->passes ? service->interval : queue.poll_interval;
}

bool holds_jobs_up(const DeviceRecord& record, const std::map<std::string, Incident>& incidents) {
  if (record.memory.reach.missed > 0 || !record.outage.empty()) return true;
  return std::ranges::any_of(record.open, [&](const std::string& id) {
    const auto& incident = incidents.at(id);
    if (kind_of(incident.kind).stops) return true;
    return std::ranges::any_of(incident.evidence,
                               [](const Condition& condition) { return kind_of(condition.keyword).stops; });
  });
}

void Correlator::State::configure_queues() {
  ties.configure(config.devices);
  for (auto& [name, record] : devices) record.queues.clear();
  for (auto& [name, service] : services) service.queues.clear();
  for (const auto& queue : config.queues) {
    auto& record = queues[queue.name];
    record.queue = queue;
    record.found = false;
  }
  std::set<std::string> services_used;
  for (const auto& spooler : config.spoolers) {
    auto& service = services[spooler.name];
    service.name = spooler.name;
    service.site = spooler.site;
    service.interval = spooler.poll_interval;
    service.default_location = spooler.default_location;
    service.host = host_key(spooler.target.host);
    service.passes = true;
    services_used.insert(spooler.name);
  }
  for (auto record = queues.begin(); record != queues.end();) {
    auto& queue = record->second;
    const auto at = queue.queue.name.rfind('@');
    const auto* spooler = queue.found ? config.find_spooler(queue.queue.name.substr(at + 1)) : nullptr;
    const bool goes_on =
        queue.found ? spooler != nullptr && spooler->all_queues : config.find_queue(record->first) != nullptr;
    if (!goes_on) {
      forget(queue, "no longer configured");
      record = queues.erase(record);
      continue;
    }
    queue.service = queue.found ? &services.at(spooler->name) : &service_of(queue.queue);
    queue.service->queues.push_back(&queue);
    services_used.insert(queue.service->name);
    queue.status.name = queue.queue.name;
    queue.status.spooler = queue.service->passes ? queue.service->name : "";
    queue.status.uri = queue.queue.target.uri;
    queue.status.read_only = config::why_read_only(queue.queue);
    queue.status.site = queue.queue.site;
    queue.device = nullptr;
    tie(queue);
    ++record;
  }
  for (auto service = services.begin(); service != services.end();) {
    if (services_used.contains(service->first)) {
      ++service;
      continue;
    }
    for (const auto& id : service->second.open) clear(incidents.at(id), "no longer configured");
    service = services.erase(service);
  }
}

void Correlator::State::tie(QueueRecord& record) {
  const auto name =
      record.status.snapshot ? ties.device_of(record.queue, *record.status.snapshot) : record.queue.device;
  auto* device = name.empty() ? nullptr : find(name);
  if (device == record.device) return;
  untie(record);
  record.device = device;
  record.status.device = name;
  // A queue that the list has shown is where its device is.
  if (record.found && device != nullptr) record.queue.site = record.status.site = device->device->site;
  if (device != nullptr) device->queues.push_back(&record);
}

void Correlator::State::untie(QueueRecord& record) {
  auto* device = std::exchange(record.device, nullptr);
  record.status.device.clear();
  if (device == nullptr) return;
  std::erase(device->queues, &record);
  if (std::exchange(record.waits, std::nullopt)) reconcile(*device);
}

void Correlator::State::forget(QueueRecord& record, const std::string& outcome) {
  untie(record);
  for (const auto& id : record.open) clear(incidents.at(id), outcome);
  record.open.clear();
  if (record.service != nullptr) std::erase(record.service->queues, &record);
}

void Correlator::State::take_queue(QueueRecord& record, QueueReach reach, const std::string& detail,
                                   std::shared_ptr<const model::QueueSnapshot> snapshot) {
  auto& status = record.status;
  status.reach = reach;
  status.detail = detail;
  if (reach != QueueReach::answered || !snapshot) {
    record.memory.absent = reach == QueueReach::absent ? record.memory.absent + 1 : 0;
    // Nothing is known of a queue whose service does not answer: whatever was wrong stays as it was.
    if (reach == QueueReach::absent) reconcile(record);
    return;
  }
  status.detail.clear();
  status.last_reading_at = now;
  record.memory.absent = 0;
  const bool moved = !status.snapshot || status.snapshot->device_uri != snapshot->device_uri ||
                     status.snapshot->device_id != snapshot->device_id || record.device == nullptr;
  status.snapshot = std::move(snapshot);
  if (moved) tie(record);
  reconcile(record);
}

std::vector<Condition> Correlator::State::agreement_conditions(const QueueRecord& record) const {
  std::vector<Condition> found;
  const auto& queue = *record.status.snapshot;
  const auto& name = record.queue.name;
  const auto add = [&](std::string_view keyword, std::optional<std::string> why) {
    if (why) found.push_back(queue_condition(keyword, name, now, std::move(*why)));
  };
  const auto& service = *record.service;
  if (queue.is_default) add("default-queue-elsewhere", location_mismatch(queue.location, service.default_location));
  if (record.device == nullptr) return found;
  const auto& device = *record.device;
  if (device.status.snapshot) add("driver-mismatch", driver_mismatch(queue, *device.status.snapshot));
  add("location-mismatch", location_mismatch(queue.location, device.device->location));
  if (!found.empty()) return found;  // that says it, and more plainly
  for (const auto* other : device.queues) {
    // Of two, the later in name says it.
    if (!other->status.snapshot || other->queue.name >= name) continue;
    auto why = disagreement(queue, *other->status.snapshot);
    if (!why) continue;
    add("queues-disagree", "beside " + other->queue.name + ": " + *why);
    break;
  }
  return found;
}

void Correlator::State::reconcile(QueueRecord& record) {
  auto& status = record.status;
  auto& memory = record.memory;
  std::vector<Condition> conditions;
  if (memory.absent > 0) {
    if (memory.absent < kAbsentPasses && record.open.empty()) return;
    memory.head.reset();
    if (memory.absent >= kAbsentPasses)
      conditions.push_back(queue_condition("queue-absent", record.queue.name, now, status.detail));
    keep_since(conditions, memory.conditions);
  } else if (status.snapshot) {
    const auto* device = record.device == nullptr ? nullptr : &record.device->status;
    const QueueView view{record.queue.name, *status.snapshot, device, config.rules, now};
    std::optional<HeadProgress> head;
    conditions = conditions_of_queue(view, memory, head);
    memory.head = head;
    auto more = agreement_conditions(record);
    keep_since(more, memory.conditions);
    std::ranges::move(more, std::back_inserter(conditions));
  } else {
    return;
  }
  memory.conditions = conditions;
  status.conditions = conditions;

  // What its device explains is no problem of the queue, but part of the device's.
  auto* device = record.device;
  const bool explained = device != nullptr && device->in_service() && holds_jobs_up(*device, incidents);
  std::optional<Condition> waits;
  std::string part_of;
  if (device != nullptr && (explained || !device->in_service())) {
    const bool unfinished = status.snapshot && has_unfinished_jobs(*status.snapshot);
    std::string says;
    std::erase_if(conditions, [&](const Condition& condition) {
      if (!follows_from_device(condition.keyword)) return false;
      says += (says.empty() ? "" : "; ") + condition.keyword;
      if (!condition.witnesses.empty()) says += ": " + condition.witnesses.front().says;
      return true;
    });
    if (explained && (unfinished || !says.empty())) {
      if (says.empty()) says = "jobs that are not over";
      waits = queue_condition("queue-waits", record.queue.name, record.waits ? record.waits->since : now, says);
    }
  }
  // The incident names the queue as its evidence; how far a job has waited meanwhile is no news.
  const bool news = waits.has_value() != record.waits.has_value();
  record.waits = std::move(waits);

  std::vector<const Incident*> open;
  for (const auto& id : record.open) open.push_back(&incidents.at(id));
  const auto problems = problems_of_queue(std::move(conditions));
  settle_problems(record, open, problems, match(open, problems));
  if (news && device != nullptr) {
    reconcile(*device);
    reconcile_reach(*device);
  }
}

void Correlator::State::reconcile_queues_of(DeviceRecord& record) {
  // By value: a queue may be untied meanwhile.
  const auto tied = record.queues;
  for (auto* queue : tied)
    if (queue->answers()) reconcile(*queue);
}

std::vector<Condition> Correlator::State::waiting_queues(const DeviceRecord& record) const {
  std::vector<Condition> waiting;
  for (const auto* queue : record.queues)
    if (queue->waits && waiting.size() < kMostWaiting) waiting.push_back(*queue->waits);
  std::ranges::sort(waiting, {}, &Condition::place);
  return waiting;
}

void Correlator::State::add_waiting_queues(const DeviceRecord& record, std::vector<Problem>& problems) const {
  const auto stops = [](const Problem& problem) {
    return std::ranges::any_of(problem.conditions,
                               [](const Condition& condition) { return kind_of(condition.keyword).stops; });
  };
  const auto first = std::ranges::find_if(problems, stops);
  if (first == problems.end() || record.memory.reach.missed > 0) return;
  std::ranges::move(waiting_queues(record), std::back_inserter(first->conditions));
}

bool Correlator::State::restore_queue(const Incident& incident) {
  if (!incident.queue) {
    const auto service = services.find(incident.place);
    if (service == services.end()) return false;
    add_open(service->second, incident.id);
    service->second.missed = config.polling.silent_after;
    service->second.missed_since = incident.raised_at;
    return true;
  }
  auto found = queues.find(*incident.queue);
  if (found == queues.end()) {
    // One that only its spooler's list has shown; the next pass will tell whether it is there.
    const auto at = incident.queue->rfind('@');
    const auto* spooler = at == std::string::npos ? nullptr : config.find_spooler(incident.queue->substr(at + 1));
    if (spooler == nullptr || !spooler->all_queues) return false;
    found_queue(services.at(spooler->name), *spooler, incident.queue->substr(0, at));
    found = queues.find(*incident.queue);
  }
  auto& record = found->second;
  add_open(record, incident.id);
  std::ranges::copy(incident.evidence, std::back_inserter(record.memory.conditions));
  if (incident.kind == "queue-absent") record.memory.absent = kAbsentPasses;
  return true;
}

}  // namespace frisket::incidents
