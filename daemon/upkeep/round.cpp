#include "daemon/upkeep/round.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <queue>
#include <utility>

#include "daemon/upkeep/distributions.h"

namespace frisket::upkeep {
namespace {

void carry_along(std::vector<CarriedItem>& carried, const std::vector<CarriedItem>& more) {
  for (const CarriedItem& item : more) {
    const auto same = std::find_if(carried.begin(), carried.end(), [&](const CarriedItem& other) {
      return other.part == item.part && other.maker == item.maker && other.colorant == item.colorant;
    });
    if (same == carried.end()) {
      carried.push_back(item);
    } else {
      same->count += item.count;
    }
  }
}

// Which tasks are taken: the best value per minute first, where the first task at a stop also
// pays for the way there. Offers are kept between choices; a choice changes the way only to the
// stops between its neighbours, so a round over thousands of devices stays quick.
class Choice {
 public:
  // `spots` of the stops, in the order in which they are walked.
  Choice(const std::vector<RoundStop>& stops, const std::vector<Spot>& spots, const RoundLimits& limits)
      : stops_(stops), spots_(spots), limits_(limits), visited_(stops.size(), false) {
    if (limits.start) start_.emplace(*limits.start);
    for (const RoundStop& stop : stops) taken_.emplace_back(stop.tasks.size(), false);
  }

  void make() {
    if (!limits_.minutes) return take_all();
    offers_.resize(stops_.size());
    for (std::size_t stop = 0; stop < stops_.size(); ++stop)
      make_offer(stop, detour(stop, stops_.size(), stops_.size()));
    while (!ranks_.empty()) {
      const auto [worth, stop] = ranks_.top();
      ranks_.pop();
      const auto& best = offers_[stop];
      if (best.worth != worth) continue;  // another offer has taken its place since
      if (fits(best.minutes + best.way)) {
        take(stop);
      } else {
        make_offer(stop, best.way);  // less time is left than when it was made
      }
    }
  }
  bool taken(std::size_t stop, std::size_t task) const { return taken_[stop][task]; }
  double work() const { return work_; }
  double walk() const { return walk_; }

 private:
  struct Offer {
    std::vector<std::size_t> tasks;
    double minutes = 0;
    double way = 0;    // longer, in minutes
    double worth = 0;  // value per minute; 0: nothing to do, or no time for it
  };
  struct Rank {
    double worth;
    std::size_t stop;
    // The one that is walked earlier first, if both are worth the same.
    bool operator<(const Rank& other) const {
      return worth < other.worth || (worth == other.worth && stop > other.stop);
    }
  };

  bool fits(double more) const { return !limits_.minutes || work_ + walk_ + more <= *limits_.minutes + 1e-9; }
  bool is_wanted(const RoundTask& task) const { return task.value >= limits_.least_value && task.value > 0; }

  // Where nothing is short there is nothing to choose.
  void take_all() {
    const Spot* from = start();
    for (std::size_t stop = 0; stop < stops_.size(); ++stop) {
      bool any = false;
      for (std::size_t task = 0; task < stops_[stop].tasks.size(); ++task) {
        if (!is_wanted(stops_[stop].tasks[task])) continue;
        any = taken_[stop][task] = true;
        work_ += stops_[stop].tasks[task].minutes;
      }
      if (!any) continue;
      if (from != nullptr) walk_ += minutes_between(*from, spots_[stop], limits_.walking);
      from = &spots_[stop];
    }
    if (start() != nullptr && from != start()) walk_ += minutes_between(*from, *start(), limits_.walking);
  }

  // Nearest visited stops before and after; stops_.size() where there is none.
  std::pair<std::size_t, std::size_t> neighbours(std::size_t stop) const {
    std::size_t before = stop;
    while (before > 0 && !visited_[before - 1]) --before;
    std::size_t after = stop + 1;
    while (after < stops_.size() && !visited_[after]) ++after;
    return {before == 0 ? stops_.size() : before - 1, after};
  }

  double detour(std::size_t stop, std::size_t before, std::size_t after) const {
    const Spot* from = before < stops_.size() ? &spots_[before] : start();
    const Spot* to = after < stops_.size() ? &spots_[after] : start();
    const Spot& here = spots_[stop];
    double way = 0;
    if (from != nullptr) way += minutes_between(*from, here, limits_.walking);
    if (to != nullptr) way += minutes_between(here, *to, limits_.walking);
    if (from != nullptr && to != nullptr) way -= minutes_between(*from, *to, limits_.walking);
    return std::max(0.0, way);
  }
  const Spot* start() const { return start_ ? &*start_ : nullptr; }

  // The best of going there for one, two, ... tasks, the best first: for two it may pay where for
  // one it would not.
  Offer offer_of(std::size_t stop, double way) const {
    const auto& tasks = stops_[stop].tasks;
    std::vector<std::size_t> open;
    for (std::size_t task = 0; task < tasks.size(); ++task) {
      if (!taken_[stop][task] && is_wanted(tasks[task])) open.push_back(task);
    }
    if (open.empty()) return {};
    std::stable_sort(open.begin(), open.end(), [&](std::size_t a, std::size_t b) {
      return tasks[a].value * tasks[b].minutes > tasks[b].value * tasks[a].minutes;
    });
    Offer best;
    Offer offer;
    offer.way = way;
    double value = 0;
    for (const std::size_t task : open) {
      if (!fits(offer.way + offer.minutes + tasks[task].minutes)) continue;
      offer.tasks.push_back(task);
      offer.minutes += tasks[task].minutes;
      value += tasks[task].value;
      offer.worth = value / std::max(0.1, offer.minutes + offer.way);
      if (offer.worth > best.worth) best = offer;
    }
    return best;
  }

  void take(std::size_t stop) {
    const Offer offer = offers_[stop];
    for (const std::size_t task : offer.tasks) taken_[stop][task] = true;
    work_ += offer.minutes;
    walk_ += offer.way;
    const auto [before, after] = neighbours(stop);
    visited_[stop] = true;
    make_offer(stop, 0);
    for (std::size_t other = before < stops_.size() ? before + 1 : 0; other < stop; ++other)
      look_again(other, detour(other, before, stop));
    for (std::size_t other = stop + 1; other < after; ++other) look_again(other, detour(other, stop, after));
  }

  void look_again(std::size_t stop, double way) {
    if (offers_[stop].worth > 0 && offers_[stop].way != way) make_offer(stop, way);
  }

  void make_offer(std::size_t stop, double way) {
    offers_[stop] = offer_of(stop, way);
    if (offers_[stop].worth > 0) ranks_.push({offers_[stop].worth, stop});
  }

  const std::vector<RoundStop>& stops_;
  const std::vector<Spot>& spots_;
  const RoundLimits& limits_;
  std::optional<Spot> start_;
  std::vector<Offer> offers_;
  std::priority_queue<Rank> ranks_;  // of the offers, and of some that no longer stand
  std::vector<bool> visited_;
  std::vector<std::vector<bool>> taken_;
  double work_ = 0;
  double walk_ = 0;
};

// In walking order, each with its spot.
std::pair<std::vector<RoundStop>, std::vector<Spot>> as_walked(std::vector<RoundStop> candidates) {
  std::vector<std::pair<Spot, RoundStop*>> walked;
  walked.reserve(candidates.size());
  for (RoundStop& stop : candidates) walked.emplace_back(Spot(stop.location), &stop);
  std::stable_sort(walked.begin(), walked.end(), [](const auto& a, const auto& b) {
    const int order = order_of(a.first, b.first);
    return order != 0 ? order < 0 : a.second->device < b.second->device;
  });
  std::pair<std::vector<RoundStop>, std::vector<Spot>> both;
  both.first.reserve(walked.size());
  both.second.reserve(walked.size());
  for (auto& [spot, stop] : walked) {
    both.first.push_back(std::move(*stop));
    both.second.push_back(std::move(spot));
  }
  return both;
}

void sort_tasks(RoundStop& stop) {
  std::stable_sort(stop.tasks.begin(), stop.tasks.end(),
                   [](const RoundTask& a, const RoundTask& b) { return a.value > b.value; });
}

}  // namespace

double value_of(model::Severity open_incident) {
  switch (open_incident) {
    case model::Severity::critical:
      return 100;
    case model::Severity::major:
      return 50;
    case model::Severity::minor:
      return 12;
    case model::Severity::warning:
      return 4;
  }
  return 0;
}

double value_of(const TaskStatus& service) {
  switch (service.due) {
    case Due::overdue:
      return 12;
    case Due::due:
      return 8;
    case Due::soon:
      return 3;
    case Due::later:
      return 0;
  }
  return 0;
}

double chance_before(const DepletionForecast& forecast, WallTime now, WallTime next_visit) {
  if (forecast.no_date || !forecast.p10) return 0;
  const double days = days_between(now, next_visit);
  const double early = std::max(0.01, days_between(now, *forecast.p10));
  if (!forecast.p50) return days >= early ? 0.1 : 0;
  const double middle = std::max(0.01, days_between(now, *forecast.p50));
  if (days <= 0) return 0;
  // Log-normal on each side of the median.
  const double late = forecast.p90 ? std::max(0.01, days_between(now, *forecast.p90)) : middle * middle / early;
  const double deviation = std::log(days < middle ? middle / early : late / middle) / 1.281552;
  return normal_cdf(std::log(days / middle) / std::max(0.01, deviation));
}

RoundPlan plan_round(std::vector<RoundStop> candidates, const RoundLimits& limits) {
  auto [stops, spots] = as_walked(std::move(candidates));
  Choice choice(stops, spots, limits);
  choice.make();
  RoundPlan plan;
  plan.walking_minutes = choice.walk();
  plan.minutes = choice.work() + choice.walk();
  for (std::size_t i = 0; i < stops.size(); ++i) {
    RoundStop go{stops[i].device, stops[i].location, {}};
    RoundStop leave = go;
    for (std::size_t task = 0; task < stops[i].tasks.size(); ++task) {
      (choice.taken(i, task) ? go : leave).tasks.push_back(std::move(stops[i].tasks[task]));
    }
    sort_tasks(go);
    sort_tasks(leave);
    for (const RoundTask& task : go.tasks) {
      plan.value += task.value;
      carry_along(plan.carry, task.carry);
    }
    if (!go.tasks.empty()) plan.stops.push_back(std::move(go));
    if (!leave.tasks.empty()) plan.left.push_back(std::move(leave));
  }
  return plan;
}

}  // namespace frisket::upkeep
