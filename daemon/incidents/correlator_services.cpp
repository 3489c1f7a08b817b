// The print services that hold queues: whether they answer, and what their lists show.
#include <algorithm>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/matching.h"

namespace frisket::incidents {
namespace {

using model::QueueReach;

std::string_view keyword_for(QueueReach reach) {
  if (reach == QueueReach::silent) return "spooler-silent";
  return reach == QueueReach::refused ? "spooler-refused" : "spooler-nonsense";
}

// A printer's own print service is part of the printer: while that does not answer, this says nothing new.
bool is_of_a_missing_device(const ServiceRecord& service) {
  if (service.passes || service.queues.empty()) return false;
  return std::ranges::all_of(service.queues, [&](const QueueRecord* queue) {
    if (queue->device == nullptr || queue->device->memory.reach.missed == 0) return false;
    const auto& device = *queue->device->device;
    return host_key(device.address) == service.host || (device.ipp && host_key(device.ipp->host) == service.host);
  });
}

std::string path_of(const std::string& uri) {
  const auto target = model::ipp_target_of(uri);
  return target ? target->path : std::string();
}

}  // namespace

void ServiceRecord::name_in(Incident& incident) const {
  incident.site = site;
  incident.place = name;
}

ServiceRecord& Correlator::State::service_of(const config::Queue& queue) {
  if (const auto* spooler = spooler_of(queue, config.spoolers)) return services.at(spooler->name);
  const auto& target = queue.target;
  const auto name = target.host + ":" + std::to_string(target.port);
  auto& service = services[name];
  service.name = name;
  service.site = queue.site;
  service.interval = queue.poll_interval;
  service.host = host_key(target.host);
  return service;
}

void Correlator::State::take_service(ServiceRecord& service, QueueReach reach, const std::string& detail) {
  service.last = reach;
  service.detail = detail;
  if (reach == QueueReach::answered || reach == QueueReach::absent) {
    service.missed = 0;
    service.missed_since.reset();
  } else {
    if (service.missed++ == 0) service.missed_since = now;
  }
  reconcile(service);
}

void Correlator::State::reconcile(ServiceRecord& service) {
  std::vector<Problem> problems;
  // Queues that are polled one by one all miss together.
  const auto polls = service.passes ? 1 : std::max<std::size_t>(1, service.queues.size());
  const auto enough = config.polling.silent_after * static_cast<int>(polls);
  const bool lasts = service.missed >= enough || (service.missed > 0 && !service.open.empty());
  if (lasts && !is_of_a_missing_device(service)) {
    const auto keyword = keyword_for(service.last);
    auto condition =
        condition_of(keyword, service.missed_since.value_or(now), {Witness::Source::reachability, service.detail});
    condition.place = service.name;
    problems.push_back({{std::move(condition)}});
  }
  std::vector<const Incident*> open;
  for (const auto& id : service.open) open.push_back(&incidents.at(id));
  settle_problems(service, open, problems, match(open, problems));
}

QueueRecord& Correlator::State::found_queue(ServiceRecord& service, const config::Spooler& spooler,
                                            const std::string& name) {
  const auto full = name + "@" + spooler.name;
  const auto [entry, fresh] = queues.try_emplace(full);
  auto& record = entry->second;
  if (!fresh) return record;
  record.found = true;
  record.queue.name = record.status.name = full;
  record.queue.target = spooler.target;
  record.queue.site = record.status.site = spooler.site;
  record.queue.poll_interval = spooler.poll_interval;
  record.status.spooler = spooler.name;
  record.service = &service;
  service.queues.push_back(&record);
  return record;
}

void Correlator::State::take_pass(ServiceRecord& service, const config::Spooler& spooler,
                                  const model::SpoolerReading& reading) {
  if (reading.reach != QueueReach::answered) {
    for (auto* queue : service.queues) take_queue(*queue, reading.reach, reading.detail, nullptr);
    return;
  }
  std::map<std::string, QueueRecord*> by_path;
  for (auto* queue : service.queues)
    if (!queue->found) by_path[queue->queue.target.path] = queue;
  std::set<const QueueRecord*> seen;
  for (const auto& snapshot : reading.queues) {
    const auto path = path_of(snapshot->uri);
    QueueRecord* record = nullptr;
    if (const auto known = by_path.find(path); known != by_path.end()) {
      record = known->second;
    } else if (spooler.all_queues) {
      record = &found_queue(service, spooler, snapshot->name);
      if (auto target = model::beside(spooler.target, snapshot->uri)) {
        record->queue.target = std::move(*target);
        record->status.uri = record->queue.target.uri;
      }
    }
    if (record == nullptr || !seen.insert(record).second) continue;
    take_queue(*record, QueueReach::answered, {}, snapshot);
  }
  // By value: what is gone is taken off the list.
  const auto all = service.queues;
  for (auto* queue : all) {
    if (seen.contains(queue)) continue;
    if (!queue->found) {
      take_queue(*queue, QueueReach::absent, "the print service does not list it", nullptr);
      continue;
    }
    const auto name = queue->queue.name;
    forget(*queue, "the print service has no such queue any more");
    queues.erase(name);
  }
}

}  // namespace frisket::incidents
