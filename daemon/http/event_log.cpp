#include "daemon/http/event_log.h"

#include <charconv>
#include <utility>
#include <vector>

namespace frisket::http {

struct EventLog::Listeners {
  std::map<std::uint64_t, std::shared_ptr<std::function<void()>>> calls;
  std::uint64_t next = 0;
};

EventLog::EventLog(std::string run, Bounds bounds)
    : run_(std::move(run)), bounds_(bounds), listeners_(std::make_shared<Listeners>()) {}

std::string event_text(std::string_view id, std::string_view name, std::string_view data) {
  std::string text;
  text.reserve(id.size() + name.size() + data.size() + 24);
  text.append("id: ").append(id).append("\nevent: ").append(name).append("\ndata: ").append(data).append("\n\n");
  return text;
}

void EventLog::append(std::string_view name, std::string_view data) {
  ++newest_;
  events_.push_back(event_text(id_of(newest_), name, data));
  bytes_ += events_.back().size();
  while (events_.size() > 1 && (events_.size() > bounds_.events || bytes_ > bounds_.bytes)) {
    bytes_ -= events_.front().size();
    events_.pop_front();
  }
  // A callback may end subscriptions, its own included: walk over a copy.
  std::vector<std::weak_ptr<std::function<void()>>> calls;
  calls.reserve(listeners_->calls.size());
  for (const auto& [number, call] : listeners_->calls) calls.emplace_back(call);
  for (const auto& call : calls)
    if (const auto alive = call.lock()) (*alive)();
}

std::string EventLog::id_of(std::uint64_t position) const { return run_ + "-" + std::to_string(position); }

std::optional<std::uint64_t> EventLog::position_of(std::string_view id) const {
  if (!id.starts_with(run_)) return std::nullopt;
  id.remove_prefix(run_.size());
  if (!id.starts_with('-')) return std::nullopt;
  id.remove_prefix(1);
  std::uint64_t position = 0;
  const auto [end, error] = std::from_chars(id.data(), id.data() + id.size(), position);
  if (error != std::errc{} || end != id.data() + id.size() || position > newest_) return std::nullopt;
  if (newest_ - position > events_.size()) return std::nullopt;
  return position;
}

std::optional<EventLog::Batch> EventLog::after(std::uint64_t position, std::size_t bytes) const {
  const auto waiting = newest_ - position;
  if (position > newest_ || waiting > events_.size()) return std::nullopt;
  Batch batch{"", position};
  for (auto place = events_.size() - waiting; place < events_.size(); ++place) {
    const auto& event = events_[place];
    if (!batch.text.empty() && batch.text.size() + event.size() > bytes) break;
    batch.text += event;
    ++batch.position;
  }
  return batch;
}

EventLog::Subscription EventLog::subscribe(std::function<void()> appended) {
  const auto number = listeners_->next++;
  listeners_->calls.emplace(number, std::make_shared<std::function<void()>>(std::move(appended)));
  // The handle may outlive the log.
  auto end = [listeners = std::weak_ptr<Listeners>(listeners_), number](void*) {
    if (const auto alive = listeners.lock()) alive->calls.erase(number);
  };
  return {static_cast<void*>(listeners_.get()), std::move(end)};
}

std::size_t EventLog::subscribers() const { return listeners_->calls.size(); }

}  // namespace frisket::http
