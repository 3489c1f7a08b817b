#include "daemon/incidents/alarm_load.h"

#include <algorithm>
#include <array>
#include <utility>

namespace frisket::incidents {
namespace {

using std::chrono::hours;

bool is_set_aside(const Incident& incident) {
  return incident.operator_state == OperatorState::shelved || incident.operator_state == OperatorState::closed;
}

WallTime last_raised(const Incident& incident) {
  for (auto change = incident.changes.rbegin(); change != incident.changes.rend(); ++change)
    if (change->what == What::raised) return change->at;
  return incident.raised_at;
}

LoadOver load_over(hours span, const std::vector<WallTime>& raisings, WallTime now) {
  const std::vector<WallTime> within(std::ranges::upper_bound(raisings, now - span), raisings.end());
  LoadOver load;
  load.raised = within.size();
  load.per_hour = static_cast<double>(load.raised) / static_cast<double>(span.count());
  load.per_ten_minutes = load.per_hour / (hours{1} / kLoadPeriod);
  load.peak = peak_of(within);
  load.rate = rate_verdict(load.raised, span);
  load.worst = peak_verdict(load.peak);
  return load;
}

}  // namespace

std::string_view to_text(RateVerdict verdict) {
  constexpr std::array<std::string_view, 4> kWords = {"very-likely-acceptable", "manageable", "likely-over-demanding",
                                                      "very-likely-unacceptable"};
  return kWords.at(static_cast<std::size_t>(verdict));
}

std::string_view to_text(PeakVerdict verdict) {
  constexpr std::array<std::string_view, 4> kWords = {"normally-fine", "no-verdict", "difficult-to-handle",
                                                      "definitely-excessive"};
  return kWords.at(static_cast<std::size_t>(verdict));
}

// RFC 8632 Table 4.
RateVerdict rate_verdict(std::size_t raised, std::chrono::minutes over) {
  const auto minutes = static_cast<std::size_t>(std::max<std::int64_t>(over.count(), 1));
  if (raised > minutes) return RateVerdict::very_likely_unacceptable;
  if (5 * raised > minutes) return RateVerdict::likely_over_demanding;
  if (10 * raised >= minutes) return RateVerdict::manageable;
  return RateVerdict::very_likely_acceptable;
}

// RFC 8632 Table 5.
PeakVerdict peak_verdict(std::size_t raised_in_period) {
  if (raised_in_period > 100) return PeakVerdict::definitely_excessive;
  if (raised_in_period >= 20) return PeakVerdict::difficult_to_handle;
  if (raised_in_period >= 10) return PeakVerdict::no_verdict;
  return PeakVerdict::normally_fine;
}

std::size_t peak_of(const std::vector<WallTime>& raisings) {
  std::size_t peak = 0;
  std::size_t first = 0;
  for (std::size_t i = 0; i < raisings.size(); ++i) {
    while (raisings[i] - raisings[first] >= kLoadPeriod) ++first;
    peak = std::max(peak, i - first + 1);
  }
  return peak;
}

std::vector<Flood> floods_of(const std::vector<WallTime>& raisings, WallTime now) {
  std::vector<Flood> floods;
  bool flooding = false;
  // With `count` raisings so far, the last kFloodEnds of them leave the period together with the oldest of them.
  const auto ends = [&](std::size_t count) { return raisings[count - kFloodEnds] + kLoadPeriod; };
  std::size_t first = 0;
  for (std::size_t i = 0; i < raisings.size(); ++i) {
    if (flooding && ends(i) <= raisings[i]) {
      floods.back().until = ends(i);
      flooding = false;
    }
    while (raisings[i] - raisings[first] >= kLoadPeriod) ++first;
    if (flooding) {
      ++floods.back().raised;
    } else if (i - first + 1 >= kFloodBegins) {
      floods.push_back({raisings[i], std::nullopt, i - first + 1});
      flooding = true;
    }
  }
  if (flooding && ends(raisings.size()) <= now) floods.back().until = ends(raisings.size());
  return floods;
}

void AlarmLoad::add(Raising raising) {
  const auto place = std::ranges::upper_bound(raisings_, raising.at, {}, &Raising::at);
  raisings_.insert(place, std::move(raising));
  if (raisings_.size() > kRaisingsKept) {
    forgotten_before_ = raisings_.front().at;
    raisings_.pop_front();
  }
  while (raisings_.back().at - raisings_.front().at >= kLoadKept) raisings_.pop_front();
}

void AlarmLoad::follow(const Incident& incident, WallTime since) {
  if (incident.state == Incident::State::cleared) {
    open_.erase(incident.id);
    return;
  }
  auto& open = open_.try_emplace(incident.id, Open{since, incident.site}).first->second;
  open.chattering = incident.chattering;
  open.set_aside = is_set_aside(incident);
}

void AlarmLoad::note(const Transition& transition) {
  const auto& incident = transition.incident;
  follow(incident, transition.what == What::raised ? transition.at : last_raised(incident));
  if (transition.what == What::raised && !incident.planned)
    add({transition.at, incident.site, incident.device.value_or(""), incident.kind});
}

void AlarmLoad::restore(const std::vector<const Incident*>& incidents) {
  raisings_.clear();
  open_.clear();
  forgotten_before_.reset();
  for (const auto* incident : incidents) {
    follow(*incident, last_raised(*incident));
    if (incident->planned) continue;
    for (const auto& change : incident->changes)
      if (change.what == What::raised) add({change.at, incident->site, incident->device.value_or(""), change.kind});
  }
}

PlaceLoad AlarmLoad::place_load(std::string site, const std::vector<WallTime>& raisings, WallTime now) const {
  PlaceLoad load;
  load.site = std::move(site);
  load.hour = load_over(hours{1}, raisings, now);
  load.day = load_over(hours{24}, raisings, now);
  load.week = load_over(kLoadKept, raisings, now);
  const auto floods = floods_of(raisings, now);
  load.in_flood = !floods.empty() && !floods.back().until;
  return load;
}

LoadFigures AlarmLoad::figures(WallTime now) const {
  LoadFigures figures;
  std::vector<WallTime> all;
  std::map<std::string, std::vector<WallTime>> by_site;
  std::map<std::pair<std::string, std::string>, std::size_t> by_pair;
  for (const auto& raising : raisings_) {
    // What lies ahead of `now` (a clock that was set back) is not counted yet.
    if (raising.at <= now - kLoadKept || raising.at > now) continue;
    all.push_back(raising.at);
    by_site[raising.site].push_back(raising.at);
    ++by_pair[{raising.device, raising.kind}];
  }
  for (const auto& [id, open] : open_) {
    by_site[open.site];
    if (open.chattering) ++figures.chattering;
    if (!open.set_aside && now - open.since > kStaleAfter) ++figures.stale;
  }
  figures.fleet = place_load("", all, now);
  for (const auto& [site, raisings] : by_site) figures.sites.push_back(place_load(site, raisings, now));

  for (const auto& [pair, raised] : by_pair) figures.noisiest.push_back({pair.first, pair.second, raised});
  std::ranges::stable_sort(figures.noisiest, std::ranges::greater{}, &NoisyPair::raised);
  if (figures.noisiest.size() > kNoisiest) figures.noisiest.resize(kNoisiest);
  std::size_t noise = 0;
  for (const auto& pair : figures.noisiest) noise += pair.raised;
  if (!all.empty()) figures.noisiest_share = static_cast<double>(noise) / static_cast<double>(all.size());

  figures.floods = floods_of(all, now);
  if (figures.floods.size() > kFloodsTold)
    figures.floods.erase(figures.floods.begin(), figures.floods.end() - static_cast<std::ptrdiff_t>(kFloodsTold));
  if (forgotten_before_ && *forgotten_before_ > now - kLoadKept) figures.forgotten_before = forgotten_before_;
  return figures;
}

}  // namespace frisket::incidents
