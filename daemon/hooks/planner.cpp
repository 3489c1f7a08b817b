#include "daemon/hooks/planner.h"

#include <algorithm>

#include "daemon/hooks/filter.h"
#include "daemon/hooks/notice_body.h"
#include "daemon/hooks/planner_change.h"

namespace frisket::hooks {

using incidents::Incident;
using incidents::OperatorState;
using incidents::What;
using model::WallTime;
using Reason = Notice::Reason;

Planner::Notices Planner::plan(const incidents::Transition& transition, WallTime now) {
  const auto& id = transition.incident.id;
  if (transition.what == What::proved && !incidents_.contains(id)) return {};
  auto& known = incidents_[id];
  known.incident = transition.incident;
  Gathered out;
  if (transition.what != What::proved) {
    for (auto& [name, desk] : desks_) {
      Change change{desk, known, known.lines[name], transition.what, transition.at, std::max(now, transition.at), out};
      follow(change);
    }
  }
  set_alarm(id, known);
  forget_if_over(id);
  return out.take();
}

void Planner::follow(Change& change) {
  if (change.what == What::cleared)
    clear(change);
  else if (change.incident.state == Incident::State::raised)
    follow_raised(change);
}

void Planner::follow_raised(Change& change) {
  const auto& hook = change.desk.hook;
  if (change.line.following && !change.line.unheard() && change.what == What::operator_action)
    return operator_acted(change);
  if (is_held(change.incident)) return;
  if (change.line.unheard()) return open(change, Reason::raised);
  if (change.line.following)
    add(change, Reason::changed);
  else if (hook.escalate_after.count() == 0 && wants(hook, change.incident))
    open(change, Reason::raised);
}

void Planner::operator_acted(Change& change) {
  const auto state = change.incident.operator_state;
  if (state != OperatorState::none) drop_undue_reminders(change);
  const bool away = state == OperatorState::shelved || state == OperatorState::closed;
  const bool in_hand = state == OperatorState::ack && change.opened_by(Reason::escalated);
  if ((away || in_hand) && drop_if_untold(change)) return;
  if (change.desk.hook.type != config::Hook::Type::mail) {
    add(change, Reason::operator_action);
  } else if (!away && changed_since(change.incident, change.line.last)) {
    add(change, Reason::changed);  // what it was not told while that was shelved
  }
}

void Planner::clear(Change& change) {
  auto& line = change.line;
  drop_undue_reminders(change);
  if (!line.following) return;
  if (drop_if_untold(change)) return;
  const bool heard = !line.unheard();
  line.following = false;
  if (heard && change.desk.hook.tell_cleared) add(change, Reason::cleared);
}

void Planner::open(Change& change, Reason reason) {
  auto& line = change.line;
  line.not_before = change.at;
  if (reason == Reason::raised) line.not_before += change.desk.hook.min_duration;
  if (!add(change, reason)) return;
  line.following = true;
  line.opening = line.waiting.back().number;
}

bool Planner::add(Change& change, Reason reason) {
  auto& [desk, known, line, what, at, now, out, incident] = change;
  if (desk.waiting >= most_waiting_ && reason != Reason::cleared) {
    ++counters_.refused;
    return false;
  }
  Notice notice;
  notice.number = ++last_number_;
  notice.hook = desk.hook.name;
  notice.incident = incident.id;
  notice.id = notice_id(incident.id, notice.number, notice.hook);
  notice.reason = reason;
  notice.at = at;
  notice.due = due(change);
  notice.body = body_of(notice, incident);
  // What waits is told first, so it waits no longer than this one; and this one no shorter.
  for (auto earlier = line.waiting.rbegin(); earlier != line.waiting.rend() && earlier->due > notice.due; ++earlier) {
    earlier->due = notice.due;
    out.put(*earlier);
  }
  line.last = std::max(notice.at, notice.due);
  out.put(notice);
  line.waiting.push_back(std::move(notice));
  ++desk.waiting;
  ++counters_.planned;
  return true;
}

WallTime Planner::held_until(const Change& change, WallTime instant) const {
  const auto& hook = change.desk.hook;
  instant = std::max(instant, change.line.not_before);
  if (change.incident.severity >= hook.quiet_lets_through) return instant;
  return clock_of(change.incident.site).after_quiet(hook, instant);
}

WallTime Planner::due(Change& change) const {
  const auto held = held_until(change, change.at);
  const auto span = change.desk.hook.digest;
  if (span.count() == 0) return held;
  auto& end = change.desk.digest_due;
  if (held > end || held + span < end) end = held + span;
  return end;
}

void Planner::drop_one(Change& change, std::size_t place) {
  auto& waiting = change.line.waiting;
  auto notice = std::move(waiting.at(place));
  waiting.erase(waiting.begin() + static_cast<std::ptrdiff_t>(place));
  --change.desk.waiting;
  ++counters_.dropped;
  notice.state = Notice::State::dropped;
  change.out.put(std::move(notice));
}

// Everything from that place of the line on.
void Planner::drop(Change& change, std::size_t from) {
  while (change.line.waiting.size() > from) drop_one(change, change.line.waiting.size() - 1);
}

// Where the present raising was not due to be told yet, nobody is told of it. What is only being collected for
// a digest is told.
bool Planner::drop_if_untold(Change& change) {
  auto& line = change.line;
  const auto opening = std::ranges::find(line.waiting, line.opening, &Notice::number);
  if (opening == line.waiting.end()) return false;
  if (opening->due <= change.now || held_until(change, opening->at) <= change.now) return false;
  drop(change, static_cast<std::size_t>(opening - line.waiting.begin()));
  line.following = false;
  return true;
}

void Planner::drop_undue_reminders(Change& change) {
  auto& waiting = change.line.waiting;
  if (!waiting.empty() && waiting.back().reason == Reason::reminder && waiting.back().due > change.now)
    drop(change, waiting.size() - 1);
}

Planner::Notices Planner::tick(WallTime now) {
  std::vector<std::string> ringing;
  for (const auto& [at, id] : alarms_) {
    if (at > now) break;
    ringing.push_back(id);
  }
  Gathered out;
  for (const auto& id : ringing) {
    auto& known = incidents_.at(id);
    for (auto& [name, desk] : desks_) {
      Change change{desk, known, known.lines[name], What::changed, now, now, out};
      look_after(change);
    }
    set_alarm(id, known);
    forget_if_over(id);
  }
  return out.take();
}

void Planner::look_after(Change& change) {
  const auto look = next_look(change.known, change.desk, &change.line);
  if (!look || *look > change.at) return;
  if (change.line.following)
    add(change, Reason::reminder);
  else
    open(change, Reason::escalated);
}

// When there may be something to remind of or to escalate.
std::optional<WallTime> Planner::next_look(const Known& known, const Desk& desk, const Line* line) const {
  const auto& incident = known.incident;
  const auto& hook = desk.hook;
  const bool open = incident.state == Incident::State::raised && incident.operator_state == OperatorState::none;
  if (!open || incident.planned) return std::nullopt;
  if (line && line->following) {
    if (hook.remind_every.count() == 0 || !line->waiting.empty() || !line->heard) return std::nullopt;
    return line->last + hook.remind_every;
  }
  if (hook.escalate_after.count() == 0 || !wants(hook, incident)) return std::nullopt;
  return raised_since(incident) + hook.escalate_after;
}

std::optional<WallTime> Planner::next_due() const {
  if (alarms_.empty()) return std::nullopt;
  return alarms_.begin()->first;
}

void Planner::set_alarm(const std::string& id, Known& known) {
  if (known.alarm) alarms_.erase({*known.alarm, id});
  known.alarm.reset();
  for (const auto& [name, desk] : desks_) {
    const auto line = known.lines.find(name);
    const auto look = next_look(known, desk, line == known.lines.end() ? nullptr : &line->second);
    if (look && (!known.alarm || *look < *known.alarm)) known.alarm = look;
  }
  if (known.alarm) alarms_.emplace(*known.alarm, id);
}

void Planner::forget_if_over(const std::string& id) {
  auto& known = incidents_.at(id);
  std::erase_if(known.lines, [](const auto& entry) { return !entry.second.following && entry.second.waiting.empty(); });
  if (known.incident.state != Incident::State::cleared || !known.lines.empty()) return;
  if (known.alarm) alarms_.erase({*known.alarm, id});
  incidents_.erase(id);
}

const SiteClock& Planner::clock_of(const std::string& site) const {
  const auto found = clocks_.find(site);
  return found == clocks_.end() ? utc_ : found->second;
}

std::size_t Planner::waiting(const std::string& hook) const {
  const auto found = desks_.find(hook);
  return found == desks_.end() ? 0 : found->second.waiting;
}

}  // namespace frisket::hooks
