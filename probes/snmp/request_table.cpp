#include "probes/snmp/request_table.h"

#include <algorithm>
#include <limits>

namespace frisket::snmp {

namespace {
constexpr std::uint32_t kLastId = std::numeric_limits<std::int32_t>::max();
}

RequestTable::RequestTable(std::uint32_t first_id) : next_id_(kFirstId + first_id % (kLastId - kFirstId + 1)) {}

void RequestTable::assign_id(Entry& entry) {
  do {
    entry.id_ = static_cast<std::int32_t>(next_id_);
    next_id_ = next_id_ == kLastId ? kFirstId : next_id_ + 1;
  } while (entries_.contains(entry.id_));
}

void RequestTable::add(Entry& entry, model::SteadyTime now) {
  entry.listed_ = true;
  --entry.attempts_left;
  entry.sent_at_ = now;
  entries_.emplace(entry.id_, &entry);
  entry.deadline_ = deadlines_.emplace(deadline_of(entry, now), entry.id_);
}

// Of the attempt that has just been counted.
model::SteadyTime RequestTable::deadline_of(const Entry& entry, model::SteadyTime now) {
  const auto& patience = entry.patience;
  if (!patience.first) return now + patience.timeout;
  if (entry.attempts_left <= 0) return std::max(now, entry.sent_at_ + patience.whole());
  return now + (entry.sent_once() ? std::min<model::SteadyTime::duration>(*patience.first, patience.timeout)
                                  : patience.timeout);
}

void RequestTable::remove(Entry& entry) {
  if (!entry.listed_) return;
  entry.listed_ = false;
  deadlines_.erase(entry.deadline_);
  entries_.erase(entry.id_);
}

RequestTable::Found RequestTable::find(std::int32_t id, const Endpoint& source) const {
  const auto found = entries_.find(id);
  if (found == entries_.end()) return {Match::unknown_id, nullptr};
  if (found->second->peer != source) return {Match::wrong_source, nullptr};
  return {Match::found, found->second};
}

void RequestTable::mark_garbled(const Endpoint& source) {
  for (const auto& [id, entry] : entries_) {
    if (entry->peer == source) entry->garbled_ = true;
  }
}

std::optional<model::SteadyTime> RequestTable::next_due() const {
  if (deadlines_.empty()) return std::nullopt;
  return deadlines_.begin()->first;
}

std::optional<RequestTable::Due> RequestTable::take_due(model::SteadyTime now) {
  if (deadlines_.empty() || deadlines_.begin()->first > now) return std::nullopt;
  Entry& entry = *entries_.at(deadlines_.begin()->second);
  if (entry.attempts_left <= 0) {
    remove(entry);
    return Due{&entry, false};
  }
  --entry.attempts_left;
  deadlines_.erase(entry.deadline_);
  entry.deadline_ = deadlines_.emplace(deadline_of(entry, now), entry.id_);
  return Due{&entry, true};
}

RequestTable::Entry* RequestTable::any() const { return entries_.empty() ? nullptr : entries_.begin()->second; }

}  // namespace frisket::snmp
