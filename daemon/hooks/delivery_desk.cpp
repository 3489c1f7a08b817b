#include "daemon/hooks/delivery_desk.h"

#include <algorithm>
#include <utility>

namespace frisket::hooks {

std::string DeliveryDesk::line_of(const Notice& notice) const {
  return hook_->digest.count() > 0 ? std::string() : notice.incident;
}

void DeliveryDesk::configure(const config::Hook& hook, const Times& times) {
  const bool collected = hook_ && hook_->digest.count() > 0;
  hook_ = std::make_shared<const config::Hook>(hook);
  if (lines_.empty() || collected == (hook.digest.count() > 0)) return;
  std::vector<Notice> all;
  for (auto& [name, line] : lines_) {
    for (auto& [number, notice] : line.waiting) all.push_back(std::move(notice));
    line.waiting.clear();
    place(name, times);
  }
  waiting_ = 0;
  std::erase_if(lines_, [](const auto& entry) { return !entry.second.busy; });
  for (auto& notice : all) put(std::move(notice), times);
}

void DeliveryDesk::put(Notice notice, const Times& times) {
  const auto name = line_of(notice);
  auto& line = lines_[name];
  const auto number = notice.number;
  line.due = line.waiting.empty() ? notice.due : std::min(line.due, notice.due);
  if (line.waiting.insert_or_assign(number, std::move(notice)).second) ++waiting_;
  place(name, times);
}

// Linear in the line, which is long only in a digest.
void DeliveryDesk::look_for_due(Line& line) const {
  bool first = true;
  for (const auto& [number, notice] : line.waiting) {
    line.due = std::exchange(first, false) ? notice.due : std::min(line.due, notice.due);
    if (hook_->digest.count() == 0) break;
  }
}

void DeliveryDesk::remove(const Notice& notice, const Times& times) {
  const auto name = line_of(notice);
  const auto line = lines_.find(name);
  if (line == lines_.end()) return;
  waiting_ -= line->second.waiting.erase(notice.number);
  look_for_due(line->second);
  place(name, times);
}

// Enters the line where its next notice belongs, and forgets it if it is empty.
void DeliveryDesk::place(const std::string& name, const Times& times) {
  auto& line = lines_[name];
  if (line.place) ready_.erase(*line.place);
  line.place.reset();
  if (line.busy) return;
  if (line.waiting.empty()) {
    if (line.unreachable) --unreachable_;
    lines_.erase(name);
    return;
  }
  if (hook_->digest.count() == 0) line.due = line.waiting.begin()->second.due;
  const auto at = line.due <= times.wall ? line.retry_at : std::max(times.steady_of(line.due), line.retry_at);
  line.place = Place{at, line.waiting.begin()->first, name};
  ready_.insert(*line.place);
}

std::optional<SteadyTime> DeliveryDesk::next() const {
  if (ready_.empty() || running >= hook_->parallel) return std::nullopt;
  return ready_.begin()->at;
}

std::vector<Notice> DeliveryDesk::take(const Times& times) {
  std::vector<Notice> taken;
  if (ready_.empty() || running >= hook_->parallel || ready_.begin()->at > times.steady) return taken;
  const auto name = ready_.begin()->line;
  auto& line = lines_.at(name);
  const auto most = hook_->digest.count() > 0 ? kLargestDigest : 1;
  for (auto each = line.waiting.begin(); each != line.waiting.end() && taken.size() < most;) {
    if (each->second.due > times.wall) {
      ++each;
      continue;
    }
    taken.push_back(std::move(each->second));
    each = line.waiting.erase(each);
  }
  waiting_ -= taken.size();
  look_for_due(line);
  line.busy = !taken.empty();
  running += line.busy ? 1 : 0;
  place(name, times);
  return taken;
}

void DeliveryDesk::release(const std::string& name, const Times& times) {
  running = std::max(0, running - 1);
  const auto line = lines_.find(name);
  if (line == lines_.end()) return;
  line->second.busy = false;
  line->second.retry_at = SteadyTime{};
  place(name, times);
}

void DeliveryDesk::put_back(std::vector<Notice> notices, SteadyTime retry_at, bool unreachable, const Times& times) {
  if (notices.empty()) return;
  const auto name = line_of(notices.front());
  auto& line = lines_[name];
  for (auto& notice : notices) {
    const auto number = notice.number;
    if (line.waiting.insert_or_assign(number, std::move(notice)).second) ++waiting_;
  }
  line.retry_at = retry_at;
  look_for_due(line);
  if (std::exchange(line.unreachable, unreachable) != unreachable) unreachable_ += unreachable ? 1U : -1U;
  place(name, times);
}

void DeliveryDesk::reachable(const Times& times) {
  if (unreachable_ == 0) return;
  std::vector<std::string> names;
  for (auto& [name, line] : lines_) {
    if (!std::exchange(line.unreachable, false)) continue;
    line.retry_at = SteadyTime{};
    names.push_back(name);
  }
  unreachable_ = 0;
  for (const auto& name : names) place(name, times);
}

void DeliveryDesk::place_all(const Times& times) {
  std::vector<std::string> names;
  for (const auto& [name, line] : lines_) names.push_back(name);
  for (const auto& name : names) place(name, times);
}

std::size_t DeliveryDesk::clear() {
  ready_.clear();
  lines_.clear();
  unreachable_ = 0;
  return std::exchange(waiting_, 0);
}

}  // namespace frisket::hooks
