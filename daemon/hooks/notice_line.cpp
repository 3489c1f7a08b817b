#include "daemon/hooks/notice_line.h"

#include <utility>

namespace frisket::hooks {

bool NoticeLine::add(Notice notice) {
  if (waiting_ >= most_) return false;
  const auto& id = notice->incident.id;
  auto& of_incident = incidents_[id];
  if (!of_incident.busy && of_incident.waiting.empty()) ready_.push_back(id);
  of_incident.waiting.push_back(std::move(notice));
  ++waiting_;
  return true;
}

std::optional<Notice> NoticeLine::next() {
  if (ready_.empty()) return std::nullopt;
  auto& of_incident = incidents_.at(ready_.front());
  ready_.pop_front();
  Notice notice = std::move(of_incident.waiting.front());
  of_incident.waiting.pop_front();
  of_incident.busy = true;
  --waiting_;
  return notice;
}

void NoticeLine::told(const std::string& incident) {
  const auto found = incidents_.find(incident);
  if (found == incidents_.end()) return;
  found->second.busy = false;
  if (found->second.waiting.empty())
    incidents_.erase(found);
  else
    ready_.push_back(incident);
}

std::size_t NoticeLine::clear() {
  for (auto& [id, of_incident] : incidents_) of_incident.waiting.clear();
  std::erase_if(incidents_, [](const auto& entry) { return !entry.second.busy; });
  ready_.clear();
  return std::exchange(waiting_, 0);
}

}  // namespace frisket::hooks
