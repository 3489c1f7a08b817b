// Raising, changing, clearing and coming back; proofs.
#include <algorithm>
#include <set>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/matching.h"
#include "daemon/incidents/remedies.h"

namespace frisket::incidents {
namespace {

constexpr std::size_t kEarlierKinds = 8;
constexpr int kChatterTimes = 3;
constexpr int kChatterPolls = 6;

// Kinds that say little by themselves are told in the device's own words.
std::string sentence_for(const Condition& lead) {
  // "A cover" is a place, but no way to start a sentence that helps.
  const bool placed = lead.subunit.index > 0 || is_about_queue(lead.keyword);
  auto sentence = summary_of(lead.keyword, placed ? lead.place : "");
  const auto& row = kind_of(lead.keyword).keyword;
  const bool vague = row == "other" || row == "unknown" || row == "*" || row == "subunit-unrecoverable-failure" ||
                     row == "subunit-recoverable-failure" || row == "input-media-change-request" ||
                     row == "supply-mismatch" || row == "paused" || row == "queue-stopped" || row == "queue-rejecting";
  if (!vague || lead.device_text.empty()) return sentence;
  if (sentence.ends_with('.')) sentence.pop_back();
  return sentence + ": \"" + lead.device_text + "\".";
}

// What a person would call a change. The witnesses' wording (a level that falls by one) is not.
bool looks_different(const Incident& a, const Incident& b) {
  if (std::tie(a.kind, a.site, a.subunit, a.place, a.severity, a.training, a.summary) !=
      std::tie(b.kind, b.site, b.subunit, b.place, b.severity, b.training, b.summary))
    return true;
  return !std::ranges::equal(a.evidence, b.evidence, [](const Condition& x, const Condition& y) {
    return std::tie(x.keyword, x.subunit, x.severity) == std::tie(y.keyword, y.subunit, y.severity);
  });
}

bool is_the_same_trouble(const Incident& incident, const Problem& problem) {
  const auto own = own_home(incident);
  const auto homes = problem.homes();
  if (own.first == "jam") return std::ranges::any_of(homes, [](const Home& home) { return home.first == "jam"; });
  return homes.contains(own);
}

std::string got_worse(const Incident& incident) { return "got worse: " + std::string(to_text(incident.severity)); }

void note_earlier_kind(Incident& incident, const std::string& kind) {
  if (incident.kind == kind) return;
  std::erase(incident.earlier_kinds, kind);
  incident.earlier_kinds.push_back(kind);
  if (incident.earlier_kinds.size() > kEarlierKinds) incident.earlier_kinds.erase(incident.earlier_kinds.begin());
}

int raised_since(const Incident& incident, WallTime since) {
  return static_cast<int>(std::ranges::count_if(
      incident.changes, [&](const StatusChange& change) { return change.what == What::raised && change.at > since; }));
}

}  // namespace

void add_open(Subject& record, const std::string& id) {
  record.open.insert(std::ranges::lower_bound(record.open, id), id);
}

std::chrono::seconds chatter_window(std::chrono::seconds poll_interval) {
  return std::max<std::chrono::seconds>(std::chrono::minutes{1}, kChatterPolls * poll_interval);
}

bool asks_for_proof(const Incident& incident) {
  const auto& kind = kind_of(incident.kind);
  if (!kind.stops || is_about_reach(incident)) return false;
  // An open cover, an empty tray or a full bin is no repair; "off line" is a key on the panel.
  const bool loading = kind.family == "cover" || (kind.family == "input" && kind.keyword != "tray-misload") ||
                       kind.family == "output" || kind.keyword == "offline" || kind.keyword == "output-tray-missing";
  return !loading;
}

Subject* Correlator::State::subject_of(const Incident& incident) {
  if (incident.device) return find(*incident.device);
  if (incident.queue) {
    const auto queue = queues.find(*incident.queue);
    return queue == queues.end() ? nullptr : &queue->second;
  }
  const auto service = services.find(incident.place);
  return service == services.end() || !is_about_queue(incident.kind) ? nullptr : &service->second;
}

void Correlator::State::settle_problems(Subject& record, const std::vector<const Incident*>& open,
                                        const std::vector<Problem>& problems,
                                        const std::vector<std::optional<std::size_t>>& matches) {
  // Ids by value: raising and clearing change what the pointers point into.
  std::vector<std::pair<std::string, std::optional<std::size_t>>> outcome;
  for (std::size_t i = 0; i < open.size(); ++i) outcome.emplace_back(open[i]->id, matches[i]);
  std::set<std::size_t> taken;
  for (const auto& [id, problem] : outcome) {
    if (!problem) {
      end(record, id);
      continue;
    }
    taken.insert(*problem);
    update(record, incidents.at(id), problems[*problem]);
  }
  for (std::size_t i = 0; i < problems.size(); ++i)
    if (!taken.contains(i)) raise(record, problems[i]);
}

void Correlator::State::tell(What what, Incident& incident) {
  incident.changes.push_back({now, what, incident.severity, incident.kind, incident.summary});
  if (incident.changes.size() > kChangesKept) incident.changes.erase(incident.changes.begin());
  transitions.push_back({what, now, incident});
}

bool Correlator::State::is_planned(const Incident& incident) {
  return planned.at(incident.site, incident.device.value_or(""), now);
}

void Correlator::State::note_planned(Incident& incident) {
  incident.planned = is_planned(incident);
  if (incident.planned) timed.insert(incident.id);
}

void Correlator::State::fill(const Subject& record, const Problem& problem, Incident& incident) const {
  const auto& lead = problem.lead();
  incident.kind = lead.keyword;
  record.name_in(incident);
  incident.subunit.reset();
  if (lead.subunit.kind != Subunit::Kind::device) incident.subunit = lead.subunit;
  incident.place = lead.place;
  incident.severity = problem.severity();
  incident.training = lead.training;
  incident.summary = sentence_for(lead);
  if (incident.chattering) incident.summary += " It comes and goes.";
  incident.evidence = problem.conditions;
  incident.remedy = remedy_for(problem, record.snapshot());
}

// The same trouble, cleared a short while ago, or cleared and not yet proved: the fix did not hold.
Incident* Correlator::State::returning(const Subject& record, const Problem& problem) {
  for (auto id = record.recent.rbegin(); id != record.recent.rend(); ++id) {
    auto* incident = find_incident(*id);
    if (incident == nullptr || incident->state == Incident::State::raised || !incident->cleared_at) continue;
    if (!is_the_same_trouble(*incident, problem)) continue;
    if (now - *incident->cleared_at <= config.rules.returns_within || incident->proof == Proof::awaited)
      return incident;
  }
  return nullptr;
}

void Correlator::State::raise(Subject& record, const Problem& problem) {
  if (auto* earlier = returning(record, problem)) return raise_again(record, *earlier, problem);
  Incident incident;
  fill(record, problem, incident);
  incident.id = ids.next(now);
  incident.raised_at = incident.changed_at = now;
  note_planned(incident);
  add_open(record, incident.id);
  auto& kept = incidents.emplace(incident.id, std::move(incident)).first->second;
  tell(What::raised, kept);
}

// RFC 8632 section 3.5.1: the same alarm, raised again.
void Correlator::State::raise_again(Subject& record, Incident& incident, const Problem& problem) {
  std::erase(record.recent, incident.id);
  const auto kind = incident.kind;
  const auto severity = incident.severity;
  // This raising included.
  if (raised_since(incident, now - chatter_window(record.poll_interval())) + 1 >= kChatterTimes)
    incident.chattering = true;
  fill(record, problem, incident);
  note_earlier_kind(incident, kind);
  add_open(record, incident.id);
  reopen(incident, severity);
}

// The caller has said what the incident is now; `before` is how bad it was.
void Correlator::State::reopen(Incident& incident, Severity before) {
  std::erase(cleared, incident.id);
  incident.state = Incident::State::raised;
  incident.cleared_at.reset();
  incident.outcome.clear();
  incident.proof = Proof::none;
  incident.proved_at.reset();
  incident.impressions_at_clear.reset();
  ++incident.times_raised;
  incident.changed_at = now;
  note_planned(incident);
  if (incident.operator_state == OperatorState::closed)
    set_operator(incident, {now, OperatorState::none, "", "came back", {}});
  else if (incident.operator_state == OperatorState::shelved && incident.severity > before)
    set_operator(incident, {now, OperatorState::none, "", got_worse(incident), {}});
  tell(What::raised, incident);
}

void Correlator::State::update(const Subject& record, Incident& incident, const Problem& problem) {
  auto next = incident;
  if (next.quiet_since) {
    next.quiet_since.reset();
    ++next.times_raised;
  }
  fill(record, problem, next);
  const bool different = looks_different(incident, next);
  const bool worse = next.severity > incident.severity;
  note_earlier_kind(next, incident.kind);
  incident = std::move(next);
  if (!different) return;
  incident.changed_at = now;
  const bool put_away =
      incident.operator_state == OperatorState::shelved || incident.operator_state == OperatorState::closed;
  if (worse && put_away) set_operator(incident, {now, OperatorState::none, "", got_worse(incident), {}});
  tell(What::changed, incident);
}

void Correlator::State::end(Subject& record, const std::string& id) {
  auto& incident = incidents.at(id);
  if (incident.chattering && record.in_service()) {
    if (!incident.quiet_since) incident.quiet_since = now;
    timed.insert(id);
    if (now - *incident.quiet_since < chatter_window(record.poll_interval())) return;
  }
  clear_at(record, id, record.in_service() ? record.outcome_of(incident) : "taken out of service");
}

void DeviceRecord::name_in(Incident& incident) const {
  incident.device = device->name;
  incident.site = device->site;
}

std::string DeviceRecord::outcome_of(const Incident& incident) const {
  if (!incident.subunit || incident.subunit->kind != Subunit::Kind::supply) return {};
  for (const auto& replacement : memory.replaced) {
    if (replacement.supply != incident.subunit->index) continue;
    return replacement.impressions ? "replaced at " + std::to_string(*replacement.impressions) + " impressions"
                                   : "replaced";
  }
  return {};
}

void Correlator::State::clear_at(Subject& record, const std::string& id, std::string outcome) {
  std::erase(record.open, id);
  auto& incident = incidents.at(id);
  const auto* snapshot = record.snapshot();
  const auto impressions = snapshot != nullptr ? snapshot->impressions() : std::nullopt;
  if (asks_for_proof(incident) && impressions && record.in_service()) {
    incident.proof = Proof::awaited;
    incident.impressions_at_clear = impressions;
    timed.insert(id);
  }
  record.recent.push_back(id);
  clear(incident, std::move(outcome));
}

void Correlator::State::clear(Incident& incident, std::string outcome) {
  incident.state = Incident::State::cleared;
  incident.cleared_at = incident.changed_at = now;
  incident.quiet_since.reset();
  incident.chattering = false;
  incident.outcome = std::move(outcome);
  tell(What::cleared, incident);
  cleared.push_back(incident.id);
  while (cleared.size() > kClearedKept) {
    timed.erase(cleared.front());
    incidents.erase(cleared.front());
    cleared.pop_front();
  }
}

// A page that was printed after the device said that the trouble is over.
void Correlator::State::watch_proofs(DeviceRecord& record) {
  const auto impressions = record.status.snapshot->impressions();
  std::erase_if(record.recent, [&](const std::string& id) {
    auto* incident = find_incident(id);
    if (incident == nullptr || !incident->cleared_at) return true;
    if (incident->proof == Proof::awaited && impressions && incident->impressions_at_clear) {
      if (*impressions < *incident->impressions_at_clear) incident->impressions_at_clear = impressions;
      if (*impressions > *incident->impressions_at_clear) {
        incident->proof = Proof::held;
        incident->proved_at = incident->changed_at = now;
        tell(What::proved, *incident);
      }
    }
    return incident->proof != Proof::awaited && now - *incident->cleared_at > config.rules.returns_within;
  });
}

// What is due without a reading. Takes itself off the list when nothing is left to wait for.
void Correlator::State::let_time_pass(Incident& incident) {
  const bool raised = incident.state == Incident::State::raised;
  if (incident.operator_state == OperatorState::shelved && incident.shelved_until && *incident.shelved_until <= now) {
    set_operator(incident, {now, OperatorState::none, "", "shelved until now", {}});
    tell(What::operator_action, incident);
  }
  if (raised && incident.planned && !is_planned(incident)) {
    incident.planned = false;
    incident.changed_at = now;
    tell(What::changed, incident);
  }
  if (!raised && incident.proof == Proof::awaited && incident.cleared_at &&
      now - *incident.cleared_at >= config.rules.proof_within) {
    incident.proof = Proof::unseen;
    incident.changed_at = now;
    tell(What::proved, incident);
  }
  const bool waits = (incident.operator_state == OperatorState::shelved && incident.shelved_until) ||
                     (raised && (incident.planned || incident.quiet_since)) || incident.proof == Proof::awaited;
  const auto id = incident.id;
  // A device that does not answer may be anything but quiet.
  if (raised && incident.quiet_since)
    if (auto* subject = subject_of(incident); subject != nullptr && subject->answers()) end(*subject, id);
  if (!waits) timed.erase(id);
}

}  // namespace frisket::incidents
