// What the planner is given at start and at reload, and what comes back from the delivery.
#include <algorithm>

#include "daemon/hooks/notice_body.h"
#include "daemon/hooks/planner.h"
#include "daemon/hooks/planner_change.h"
#include "probes/model/ascii.h"

namespace frisket::hooks {

using model::WallTime;
using Reason = Notice::Reason;
using State = Notice::State;

namespace {

constexpr std::size_t kLongestId = 64;

std::string slug(const std::string& text, std::size_t longest) {
  std::string out;
  for (const char c : text.substr(0, longest)) {
    const char lower = model::lower_case(c);
    const bool plain = (lower >= 'a' && lower <= 'z') || (lower >= '0' && lower <= '9');
    out += plain ? lower : '-';
  }
  return out;
}

}  // namespace

std::string notice_id(const std::string& incident, std::uint64_t number, const std::string& hook) {
  constexpr std::size_t kLongestIncident = 16;  // ids of incidents have 8 (incident_id.h)
  const auto id = slug(incident, kLongestIncident) + "-" + std::to_string(number) + "-";
  return id + slug(hook, kLongestId - id.size());
}

Planner::Notices Planner::configure(const config::Config& config) {
  clocks_.clear();
  for (const auto& site : config.sites) clocks_.emplace(site.name, SiteClock(site.time_zone));
  Gathered out;
  std::map<std::string, Desk> kept;
  for (const auto& hook : config.hooks) {
    auto& desk = kept[hook.name];
    if (const auto had = desks_.find(hook.name); had != desks_.end()) desk = had->second;
    desk.hook = hook;
  }
  for (auto& [id, known] : incidents_) {
    for (auto& [name, line] : known.lines) {
      if (kept.contains(name)) continue;
      Change change{desks_.at(name), known, line, incidents::What::changed, WallTime{}, WallTime{}, out};
      drop(change, 0);
      line.following = false;
    }
  }
  desks_ = std::move(kept);
  std::vector<std::string> ids;
  for (auto& [id, known] : incidents_) {
    set_alarm(id, known);
    ids.push_back(id);
  }
  for (const auto& id : ids) forget_if_over(id);
  return out.take();
}

Planner::Notices Planner::restore(Notices rows, const std::vector<incidents::Incident>& incidents,
                                  std::uint64_t last_number) {
  last_number_ = std::max(last_number_, last_number);
  for (const auto& incident : incidents)
    if (incident.state == incidents::Incident::State::raised) incidents_[incident.id].incident = incident;
  std::ranges::sort(rows, {}, &Notice::number);
  Notices out;
  for (auto& row : rows) {
    last_number_ = std::max(last_number_, row.number);
    if (!row.incident.empty()) restore_row(std::move(row), out);
  }
  std::vector<std::string> ids;
  for (auto& [id, known] : incidents_) {
    set_alarm(id, known);
    ids.push_back(id);
  }
  for (const auto& id : ids) forget_if_over(id);
  return out;
}

void Planner::restore_row(Notice row, Notices& out) {
  const auto found = desks_.find(row.hook);
  if (found == desks_.end()) {
    if (row.state != State::waiting) return;
    row.state = State::dropped;
    ++counters_.dropped;
    out.push_back(std::move(row));
    return;
  }
  if (row.state == State::dropped) return;
  auto& desk = found->second;
  const auto [entry, fresh] = incidents_.try_emplace(row.incident);
  if (fresh) {  // not among the raised ones: only the rest of the telling is left
    entry->second.incident.id = row.incident;
    entry->second.incident.state = incidents::Incident::State::cleared;
  }
  auto& line = entry->second.lines[row.hook];
  const bool opens = row.reason == Reason::raised || row.reason == Reason::escalated || !line.following;
  if (row.reason == Reason::cleared) {
    line.following = false;
  } else if (opens) {
    line.following = true;
    line.opening = row.number;
    line.not_before = row.at;
    if (row.reason == Reason::raised) line.not_before += desk.hook.min_duration;
  }
  if (row.state == State::delivered) line.heard = row.reason != Reason::cleared;
  line.last = std::max(row.at, row.due);
  if (row.state != State::waiting) return;
  if (desk.hook.digest.count() > 0) desk.digest_due = std::max(desk.digest_due, row.due);
  ++desk.waiting;
  line.waiting.push_back(std::move(row));
}

Planner::Notices Planner::settled(const Notice& notice, WallTime now) {
  const auto known = incidents_.find(notice.incident);
  const auto desk = desks_.find(notice.hook);
  if (known == incidents_.end() || desk == desks_.end()) return {};
  auto& line = known->second.lines[notice.hook];
  const auto place = std::ranges::find(line.waiting, notice.number, &Notice::number);
  if (place == line.waiting.end()) return {};
  line.waiting.erase(place);
  --desk->second.waiting;
  Gathered out;
  if (notice.state == State::delivered) {
    line.heard = notice.reason != Reason::cleared;
    line.last = std::max(line.last, now);
  } else if (!line.heard && !line.waiting.empty()) {
    // The raising was given up, so nobody has heard of it: the next notice tells it, or nobody is told.
    Change change{desk->second, known->second, line, incidents::What::changed, now, now, out};
    if (line.waiting.front().reason == Reason::cleared) {
      drop_one(change, 0);
    } else {
      if (line.waiting.front().number > line.opening) line.opening = line.waiting.front().number;
      tell_as_raised(line.waiting.front());
      out.put(line.waiting.front());
    }
  }
  set_alarm(notice.incident, known->second);
  forget_if_over(notice.incident);
  return out.take();
}

std::optional<Notice> Planner::test(const std::string& hook, WallTime now) {
  if (!desks_.contains(hook)) return std::nullopt;
  Notice notice;
  notice.number = ++last_number_;
  notice.hook = hook;
  notice.id = notice_id("test", notice.number, hook);
  notice.reason = Reason::test;
  notice.at = notice.due = now;
  notice.body = test_body_of(notice);
  return notice;
}

}  // namespace frisket::hooks
