#include "verdict.h"

#include <algorithm>
#include <optional>

namespace frisket::week {

using namespace std::chrono_literals;
using incidents::Incident;
using incidents::Transition;
using incidents::What;

namespace {

// Between the poll that showed a problem and the next: so late a delay may still end with a raising.
constexpr Seconds kAfterwards = 60s;

std::string at_text(WallTime at) { return model::to_rfc3339(at).substr(0, 19); }

std::string in_words(const Truth& truth) {
  return (truth.device.empty() ? truth.site : truth.device) + ": " + truth.what + ", " + at_text(truth.from) + " to " +
         at_text(truth.until);
}

std::string in_words(const Transition& transition) {
  const auto& incident = transition.incident;
  return incident.device.value_or(incident.site) + ": " + incident.kind + " at " + incident.place + ", " +
         at_text(transition.at) + ", incident " + incident.id;
}

class Judge {
 public:
  Judge(const Plan& plan, const Played& played) : plan_(plan), played_(played), ids_(played.sights.size()) {
    for (std::size_t i = 0; i < played.sights.size(); ++i) {
      const auto& truth = played.sights[i].truth;
      by_whom_[truth.device.empty() ? "site " + truth.site : truth.device].push_back(i);
    }
  }

  Verdict judge() {
    for (const auto& transition : played_.told) take(transition);
    for (std::size_t i = 0; i < ids_.size(); ++i) look_at(i);
    for (const auto& [id, last] : last_)
      if (last->incident.state == Incident::State::raised) ++verdict_.open_at_end;
    for (const auto& unheard : played_.unheard) differ("nothing to acknowledge: " + unheard);
    verdict_.incidents = last_.size();
    measure_load();
    return std::move(verdict_);
  }

 private:
  void differ(std::string sentence) { verdict_.differences.push_back(std::move(sentence)); }

  std::optional<std::size_t> truth_of(const Transition& raised) const {
    const auto& incident = raised.incident;
    const auto found = by_whom_.find(incident.device ? *incident.device : "site " + incident.site);
    if (found == by_whom_.end()) return std::nullopt;
    for (const auto i : found->second) {
      const auto& sight = played_.sights[i];
      const auto& truth = sight.truth;
      if (!truth.kinds.contains(incident.kind)) continue;
      if (raised.at >= truth.from && raised.at < truth.until + kAfterwards && sight.first) return i;
    }
    return std::nullopt;
  }

  void take(const Transition& transition) {
    last_[transition.incident.id] = &transition;
    if (transition.what == What::cleared) return take_cleared(transition);
    if (transition.what != What::raised) return;
    const auto truth = truth_of(transition);
    if (!truth) return differ("false: " + in_words(transition));
    auto& ids = ids_[*truth];
    if (!ids.empty() && ids.front() == transition.incident.id) ++verdict_.raised_again;
    if (std::ranges::find(ids, transition.incident.id) == ids.end()) ids.push_back(transition.incident.id);
    const auto [owner, fresh] = owner_.try_emplace(transition.incident.id, *truth);
    if (!fresh && owner->second != *truth)
      differ("two problems in one incident: " + in_words(played_.sights[*truth].truth) + "; and " +
             in_words(played_.sights[owner->second].truth));
    raised_at_.try_emplace(*truth, transition.at);
  }

  void take_cleared(const Transition& transition) {
    const auto owner = owner_.find(transition.incident.id);
    if (owner == owner_.end()) return;
    cleared_at_[owner->second] = transition.at;
    const auto& truth = played_.sights[owner->second].truth;
    if (truth.to_the_second && transition.at < truth.until)
      differ("cleared too early, " + at_text(transition.at) + ": " + in_words(truth));
  }

  void look_at(std::size_t i) {
    const auto& sight = played_.sights[i];
    const auto& truth = sight.truth;
    if (!sight.shown) {
      ++verdict_.never_shown;
      return;
    }
    ++verdict_.problems;
    if (truth.brief) ++verdict_.brief;
    if (ids_[i].empty()) return differ("not told: " + in_words(truth));
    if (ids_[i].size() > 1) differ("told as " + std::to_string(ids_[i].size()) + " incidents: " + in_words(truth));
    if (sight.due && raised_at_.at(i) > *sight.due)
      differ("told late, " + at_text(raised_at_.at(i)) + " and due at " + at_text(*sight.due) + ": " + in_words(truth));
    if (!sight.over_due) return;
    const auto cleared = cleared_at_.find(i);
    if (cleared == cleared_at_.end() || last_.at(ids_[i].front())->incident.state == Incident::State::raised)
      differ("not cleared: " + in_words(truth));
    else if (cleared->second > *sight.over_due)
      differ("cleared late, " + at_text(cleared->second) + " and due at " + at_text(*sight.over_due) + ": " +
             in_words(truth));
  }

  void measure_load() {
    incidents::AlarmLoad load;
    std::vector<WallTime> busy;
    for (const auto& transition : played_.told) {
      load.note(transition);
      const auto hour = transition.at - std::chrono::floor<std::chrono::days>(transition.at);
      const bool in_time = transition.at < plan_.begins + 5 * 24h && hour >= 7h && hour < 19h;
      if (transition.what == What::raised && in_time) busy.push_back(transition.at);
    }
    verdict_.load = load.figures(plan_.ends - 1ms);
    verdict_.per_ten_busy_minutes = static_cast<double>(busy.size()) / (5 * 12 * 6);
    verdict_.busy_peak = incidents::peak_of(busy);
  }

  const Plan& plan_;
  const Played& played_;
  Verdict verdict_;
  std::vector<std::vector<std::string>> ids_;  // of incidents, by truth
  std::map<std::string, std::vector<std::size_t>> by_whom_;
  std::map<std::string, std::size_t> owner_;  // of an incident: its truth
  std::map<std::size_t, WallTime> raised_at_, cleared_at_;
  std::map<std::string, const Transition*> last_;
};

}  // namespace

Verdict judge(const Plan& plan, const Played& played) { return Judge(plan, played).judge(); }

}  // namespace frisket::week
