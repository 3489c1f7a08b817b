#include "daemon/http/queue_board.h"

#include "daemon/json/forms.h"

namespace frisket::http {
namespace {

using incidents::QueueStatus;

template <class T, class U>
bool lets_through(const std::set<T>& wanted, const U& value) {
  return wanted.empty() || wanted.contains(T(value));
}

bool wants(const QueueFilter& filter, const QueueStatus& status) {
  return lets_through(filter.sites, status.site) && lets_through(filter.devices, status.device) &&
         lets_through(filter.spoolers, status.spooler) && lets_through(filter.states, state_word(status)) &&
         (!filter.accepting || (status.snapshot && status.snapshot->accepting == filter.accepting));
}

// `state` is null of a queue that is gone.
std::string event_data(const QueueStatus& status, json::Json state, model::WallTime at) {
  const json::Json data = {
      {"name", status.name}, {"site", status.site}, {"state", std::move(state)}, {"at", model::to_rfc3339(at)}};
  return json::text_of(data);
}

}  // namespace

bool QueueBoard::publish(const QueueStatus& status, model::WallTime at) {
  const auto [place, is_new] = queues_.try_emplace(status.name, revisions_);
  auto& entry = place->second;
  const auto state_before = state_word(entry.status());
  const auto site_before = entry.status().site;
  if (!entry.publish(status)) return false;
  events_.append("queue", event_data(status, state_word(status), at));
  return is_new || state_before != state_word(status) || site_before != status.site;
}

bool QueueBoard::forget(const std::string& name, model::WallTime at) {
  const auto found = queues_.find(name);
  if (found == queues_.end()) return false;
  events_.append("queue", event_data(found->second.status(), nullptr, at));
  queues_.erase(found);
  return true;
}

Slice QueueBoard::list(const QueueFilter& filter, const Window& window) const {
  SliceBuilder slice(window);
  for (auto place = queues_.upper_bound(window.after); place != queues_.end(); ++place)
    if (wants(filter, place->second.status()) &&
        !slice.add(place->second.form(), place->first, place->second.revision()))
      break;
  return slice.take();
}

std::optional<std::string> QueueBoard::queue(const std::string& name) const {
  const auto found = queues_.find(name);
  if (found == queues_.end()) return std::nullopt;
  return std::string(found->second.form().object());
}

std::uint64_t QueueBoard::version(const std::string& name) const {
  const auto found = queues_.find(name);
  return found == queues_.end() ? 0 : found->second.revision();
}

std::optional<std::string> QueueBoard::jobs(const std::string& name, bool personal) const {
  const auto found = queues_.find(name);
  if (found == queues_.end()) return std::nullopt;
  return json::text_of(json::queue_jobs_form(found->second.status(), personal));
}

}  // namespace frisket::http
