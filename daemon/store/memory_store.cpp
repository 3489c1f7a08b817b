#include "daemon/store/memory_store.h"

#include <algorithm>
#include <iterator>

#include "daemon/store/kept_incident.h"
#include "daemon/upkeep/weeks.h"

namespace frisket::store {
namespace {

using incidents::Incident;
using incidents::Notice;

model::WallTime over_at(const Incident& incident) { return incident.cleared_at.value_or(incident.changed_at); }

bool is_newer(const Incident* a, const Incident* b) {
  return std::pair(over_at(*a), a->id) > std::pair(over_at(*b), b->id);
}

bool is_same(const incidents::Replacement& a, const incidents::Replacement& b) {
  return a.device == b.device && a.supply == b.supply && a.at == b.at;
}

template <class T>
void append_in_time(std::vector<T>& list, const std::vector<T>& more) {
  list.insert(list.end(), more.begin(), more.end());
  std::ranges::stable_sort(list, {}, &T::at);
}

// A copy of what was there when it was made.
class CopiedHistory final : public HistorySource {
 public:
  CopiedHistory(std::map<std::string, upkeep::Changes> devices, std::vector<upkeep::PastIncident> incidents)
      : devices_(std::move(devices)), incidents_(std::move(incidents)) {}
  model::Result<upkeep::Changes> history(const std::string& device, model::WallTime since) override {
    upkeep::Changes found;
    for (const auto& change : devices_[device])
      if (upkeep::week_of(change.at) >= upkeep::week_of(since)) found.push_back(change);
    return found;
  }
  model::Result<std::vector<upkeep::PastIncident>> incidents_since(model::WallTime since) override {
    std::vector<upkeep::PastIncident> found;
    std::ranges::copy_if(incidents_, std::back_inserter(found),
                         [&](const auto& past) { return !past.to || *past.to >= since; });
    return found;
  }

 private:
  std::map<std::string, upkeep::Changes> devices_;
  std::vector<upkeep::PastIncident> incidents_;
};

}  // namespace

bool MemoryStore::is_raised(const std::string& incident) const {
  const auto found = incidents_.find(incident);
  return found != incidents_.end() && found->second.state == Incident::State::raised;
}

model::Result<model::Done> MemoryStore::write(const Batch& batch) {
  for (const auto& transition : batch.transitions) {
    incidents_[transition.incident.id] = transition.incident;
    transitions_.push_back(as_kept(transition));
  }
  for (const auto& [name, memory] : batch.devices) devices_[name] = memory;
  for (const auto& notice : batch.notices) {
    notices_[notice.id] = notice;
    last_number_ = std::max(last_number_, notice.number);
  }
  for (const auto& replacement : batch.replacements) {
    std::erase_if(replacements_, [&](const auto& kept) { return is_same(kept, replacement); });
    replacements_.push_back(replacement);
  }
  readings_.insert(readings_.end(), batch.readings.begin(), batch.readings.end());
  for (auto record : batch.audit) {
    record.number = audit_.empty() ? 1 : audit_.back().number + 1;
    audit_.push_back(std::move(record));
  }
  for (const auto& [device, changes] : batch.history)
    for (const auto& change : changes)
      upkeep::merge_into(history_[device][upkeep::week_of(change.at)].changes, {change});
  for (const auto& level : batch.stock) books_.stock[level.part] = level.stock;
  append_in_time(books_.done, batch.done);
  for (const auto& complaint : batch.complaints)
    std::erase_if(books_.complaints, [&](const auto& kept) { return kept.id == complaint.id; });
  append_in_time(books_.complaints, batch.complaints);
  watched_until_ = std::max(watched_until_, batch.watched_until);
  last_id_ = std::max(last_id_, batch.last_id);
  return model::Done{};
}

model::Result<incidents::CorrelatorMemory> MemoryStore::memory() {
  std::vector<const Incident*> cleared;
  incidents::CorrelatorMemory memory{last_id_, {}, devices_};
  for (const auto& [id, incident] : incidents_) {
    if (incident.state == Incident::State::raised)
      memory.incidents.push_back(incident);
    else
      cleared.push_back(&incident);
  }
  std::ranges::sort(cleared, is_newer);
  cleared.resize(std::min(cleared.size(), incidents::kClearedKept));
  for (const auto* incident : cleared) memory.incidents.push_back(*incident);
  std::ranges::sort(memory.incidents, {}, &Incident::id);
  return memory;
}

model::Result<std::vector<Notice>> MemoryStore::outbox() {
  std::vector<Notice> found;
  for (const auto& [id, notice] : notices_) {
    const bool is_told = notice.state == Notice::State::delivered && is_raised(notice.incident);
    if (notice.state == Notice::State::waiting || notice.state == Notice::State::parked || is_told)
      found.push_back(notice);
  }
  std::ranges::stable_sort(found, {}, &Notice::number);
  return found;
}

model::Result<std::vector<incidents::Replacement>> MemoryStore::replacements(const std::string& device) {
  std::vector<incidents::Replacement> found;
  for (const auto& replacement : replacements_)
    if (replacement.device == device) found.push_back(replacement);
  std::ranges::stable_sort(found, {}, &incidents::Replacement::at);
  return found;
}

model::Result<std::vector<incidents::Transition>> MemoryStore::transitions_since(model::WallTime since) {
  std::vector<incidents::Transition> found;
  for (const auto& transition : transitions_)
    if (transition.what == incidents::What::raised && transition.at >= since) found.push_back(transition);
  return found;
}

model::Result<std::vector<model::DeviceReading>> MemoryStore::readings_since(model::WallTime since) {
  std::vector<model::DeviceReading> found;
  for (const auto& reading : readings_)
    if (reading.at >= since) found.push_back(reading);
  std::ranges::stable_sort(found, {}, &model::DeviceReading::at);
  return found;
}

model::Result<std::vector<AuditRecord>> MemoryStore::audit(const model::AuditWindow& window) {
  std::vector<AuditRecord> found;
  for (auto record = audit_.rbegin(); record != audit_.rend() && found.size() < window.limit; ++record)
    if (window.before == 0 || record->number < window.before) found.push_back(*record);
  return found;
}

model::Result<std::vector<std::string>> MemoryStore::history_devices() {
  std::vector<std::string> names;
  for (const auto& [device, weeks] : history_) names.push_back(device);
  return names;
}

model::Result<upkeep::Changes> MemoryStore::history(const std::string& device, model::WallTime since) {
  upkeep::Changes all;
  const auto found = history_.find(device);
  if (found == history_.end()) return all;
  for (auto week = found->second.lower_bound(upkeep::week_of(since)); week != found->second.end(); ++week)
    all.insert(all.end(), week->second.changes.begin(), week->second.changes.end());
  return all;
}

model::Result<std::unique_ptr<HistorySource>> MemoryStore::history_source() {
  std::map<std::string, upkeep::Changes> devices;
  for (const auto& [device, weeks] : history_)
    for (const auto& [number, week] : weeks)
      devices[device].insert(devices[device].end(), week.changes.begin(), week.changes.end());
  std::vector<upkeep::PastIncident> past;
  for (const auto& [id, incident] : incidents_)
    if (incident.device)
      past.push_back({*incident.device, incident.kind, incident.severity == model::Severity::critical,
                      incident.raised_at, incident.cleared_at, incident.place});
  return std::unique_ptr<HistorySource>(std::make_unique<CopiedHistory>(std::move(devices), std::move(past)));
}

void MemoryStore::forget_history(const Retention& retention, model::WallTime now) {
  for (auto& [device, weeks] : history_) {
    std::erase_if(weeks, [&](const auto& week) { return week.first < upkeep::week_of(now - retention.history); });
    for (auto& [number, week] : weeks) {
      if (week.thinned || number >= upkeep::week_of(now - upkeep::kThinnedAfter)) continue;
      upkeep::thin(week.changes);
      week.thinned = true;
    }
  }
  std::erase_if(history_, [](const auto& device) { return device.second.empty(); });
}

model::Result<model::Done> MemoryStore::forget(const Retention& retention, model::WallTime now) {
  std::erase_if(notices_, [&](const auto& entry) {
    const Notice& notice = entry.second;
    return notice.state != Notice::State::waiting && std::max(notice.at, notice.due) < now - retention.notices &&
           !is_raised(notice.incident);
  });
  std::erase_if(incidents_, [&](const auto& entry) {
    const Incident& incident = entry.second;
    return incident.state == Incident::State::cleared && over_at(incident) < now - retention.incidents;
  });
  std::erase_if(transitions_, [&](const auto& kept) { return !incidents_.contains(kept.incident.id); });
  std::erase_if(readings_, [&](const auto& reading) { return reading.at < now - retention.readings; });
  std::erase_if(audit_, [&](const auto& record) { return record.at < now - retention.audit; });
  forget_history(retention, now);
  return model::Done{};
}

model::Result<model::Done> MemoryStore::back_up(const std::filesystem::path& to) {
  return model::Error{model::Error::Kind::invalid, "backing up to", to.string(), "the store is kept in memory only"};
}

}  // namespace frisket::store
