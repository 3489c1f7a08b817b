#include "daemon/upkeep/complaint.h"

#include <algorithm>
#include <cmath>

namespace frisket::upkeep {
namespace {

template <class Rows>
auto find(const Rows& rows, std::string_view key) -> decltype(rows.data()) {
  const auto row = std::find_if(rows.begin(), rows.end(), [&](const auto& candidate) { return candidate.key == key; });
  return row == rows.end() ? nullptr : &*row;
}

// No observation is ever taken as proof: a table entry of 0 or 1 would silence all others.
double chance_of(const Observation& observation, const std::string& cause, bool so) {
  const auto row = observation.with.find(cause);
  const double chance = std::clamp(row == observation.with.end() ? observation.usual : row->second, 0.01, 0.99);
  return so ? chance : 1 - chance;
}

using Chances = std::map<std::string, double>;  // cause -> probability

void normalise(Chances& chances) {
  double sum = 0;
  for (const auto& [cause, weight] : chances) sum += weight;
  if (sum <= 0) return;
  for (auto& [cause, weight] : chances) weight /= sum;
}

Chances updated(Chances chances, const Observation& observation, bool so) {
  for (auto& [cause, weight] : chances) weight *= chance_of(observation, cause, so);
  normalise(chances);
  return chances;
}

double entropy(const Chances& chances) {
  double bits = 0;
  for (const auto& [cause, p] : chances) {
    if (p > 0) bits -= p * std::log2(p);
  }
  return bits;
}

double information(const Chances& chances, const Observation& observation) {
  double so = 0;
  for (const auto& [cause, p] : chances) so += p * chance_of(observation, cause, true);
  const double rest =
      so * entropy(updated(chances, observation, true)) + (1 - so) * entropy(updated(chances, observation, false));
  return std::max(0.0, entropy(chances) - rest);
}

// Of the cause against all the others together, by their prior weights.
double log_odds(const Chances& priors, const Observation& observation, const std::string& cause, bool so) {
  double others = 0;
  double weight = 0;
  for (const auto& [other, p] : priors) {
    if (other == cause) continue;
    others += p * chance_of(observation, other, so);
    weight += p;
  }
  return weight <= 0 ? 0 : std::log(chance_of(observation, cause, so) / (others / weight));
}

}  // namespace

const Symptom* ComplaintTable::symptom(std::string_view key) const { return find(symptoms, key); }
const Cause* ComplaintTable::cause(std::string_view key) const { return find(causes, key); }
const Observation* ComplaintTable::observation(std::string_view key) const { return find(observations, key); }

std::optional<Diagnosis> diagnose(const ComplaintTable& table, std::string_view symptom, const Known& known) {
  const Symptom* row = table.symptom(symptom);
  if (row == nullptr) return std::nullopt;
  Chances priors = row->priors;
  normalise(priors);
  Chances chances = priors;
  for (const auto& [key, so] : known) {
    if (const Observation* observation = table.observation(key)) chances = updated(chances, *observation, so);
  }
  Diagnosis diagnosis;
  for (const auto& [cause, probability] : chances) {
    Ranked ranked{cause, probability, priors[cause], {}};
    for (const auto& [key, so] : known) {
      const Observation* observation = table.observation(key);
      if (observation == nullptr) continue;
      const double weight = log_odds(priors, *observation, cause, so);
      if (std::abs(weight) >= 0.1) ranked.evidence.push_back({key, so, weight});
    }
    std::stable_sort(ranked.evidence.begin(), ranked.evidence.end(),
                     [](const Weight& a, const Weight& b) { return std::abs(a.log_odds) > std::abs(b.log_odds); });
    diagnosis.causes.push_back(std::move(ranked));
  }
  std::stable_sort(diagnosis.causes.begin(), diagnosis.causes.end(),
                   [](const Ranked& a, const Ranked& b) { return a.probability > b.probability; });
  for (const Observation& observation : table.observations) {
    if (known.contains(observation.key) || observation.minutes == 0) continue;
    const double bits = information(chances, observation);
    if (bits >= 0.01) diagnosis.checks.push_back({observation.key, bits, observation.minutes});
  }
  std::stable_sort(diagnosis.checks.begin(), diagnosis.checks.end(),
                   [](const NextCheck& a, const NextCheck& b) { return a.bits * b.minutes > b.bits * a.minutes; });
  return diagnosis;
}

ComplaintTable reestimated(const ComplaintTable& table, std::span<const Outcome> outcomes) {
  constexpr double kComplaints = 20;
  constexpr double kObservations = 10;
  ComplaintTable result = table;
  for (Symptom& symptom : result.symptoms) {
    std::map<std::string, double> counts;
    double all = 0;
    for (const Outcome& outcome : outcomes) {
      if (outcome.symptom != symptom.key || table.cause(outcome.cause) == nullptr) continue;
      ++counts[outcome.cause];
      ++all;
    }
    normalise(symptom.priors);
    for (const auto& [cause, count] : counts) symptom.priors.try_emplace(cause, 0.0);
    for (auto& [cause, weight] : symptom.priors) {
      const auto count = counts.find(cause);
      weight = (kComplaints * weight + (count == counts.end() ? 0.0 : count->second)) / (kComplaints + all);
    }
  }
  for (Observation& observation : result.observations) {
    std::map<std::string, std::pair<double, double>> counts;  // cause -> so, seen
    for (const Outcome& outcome : outcomes) {
      const auto known = outcome.known.find(observation.key);
      if (known == outcome.known.end() || table.cause(outcome.cause) == nullptr) continue;
      if (table.symptom(outcome.symptom) == nullptr) continue;
      auto& [so, seen] = counts[outcome.cause];
      so += known->second ? 1 : 0;
      ++seen;
    }
    for (const auto& [cause, count] : counts) {
      const auto row = observation.with.find(cause);
      const double before = row == observation.with.end() ? observation.usual : row->second;
      observation.with[cause] = (kObservations * before + count.first) / (kObservations + count.second);
    }
  }
  return result;
}

}  // namespace frisket::upkeep
