#include "daemon/upkeep/complaint.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

using namespace frisket::upkeep;

namespace {

// Two causes, evenly likely; one check that tells them apart and one that does not.
ComplaintTable coin() {
  ComplaintTable table;
  table.symptoms = {{"faded", "", {{"a", 0.5}, {"b", 0.5}}}};
  table.causes = {{"a", "", {}, {}}, {"b", "", {}, {}}};
  table.observations = {{"tells", "?", 2, 0.1, {{"a", 0.9}}}, {"idle-talk", "?", 1, 0.5, {}}};
  return table;
}

double probability(const Diagnosis& diagnosis, const std::string& cause) {
  for (const Ranked& ranked : diagnosis.causes) {
    if (ranked.cause == cause) return ranked.probability;
  }
  return -1;
}

}  // namespace

TEST_CASE("one observation updates the odds by its likelihood ratio") {
  // Bayes by hand: odds 1 times 0.9/0.1 = 9, so 0.9; and not so: 0.1/0.9, so 0.1.
  const auto so = diagnose(coin(), "faded", {{"tells", true}});
  REQUIRE(so);
  CHECK(probability(*so, "a") == Approx(0.9));
  REQUIRE(so->causes[0].evidence.size() == 1);
  CHECK(so->causes[0].cause == "a");
  CHECK(so->causes[0].evidence[0].log_odds == Approx(std::log(9.0)));
  CHECK(so->causes[1].evidence[0].log_odds == Approx(-std::log(9.0)));
  CHECK(probability(*diagnose(coin(), "faded", {{"tells", false}}), "a") == Approx(0.1));
}

TEST_CASE("the next check is the one that tells, and its worth is the mutual information") {
  const auto diagnosis = diagnose(coin(), "faded", {});
  REQUIRE(diagnosis);
  REQUIRE(diagnosis->checks.size() == 1);
  CHECK(diagnosis->checks[0].observation == "tells");
  // 1 - H(0.9) bits for a binary symmetric channel (Shannon 1948): 0.5310.
  CHECK(diagnosis->checks[0].bits == Approx(0.5310044).margin(1e-6));
  CHECK(diagnose(coin(), "faded", {{"tells", true}})->checks.empty());
}

TEST_CASE("an unknown symptom is no diagnosis, and unknown observations change nothing") {
  CHECK_FALSE(diagnose(coin(), "sad", {}));
  CHECK(probability(*diagnose(coin(), "faded", {{"moon-full", true}}), "a") == Approx(0.5));
}

TEST_CASE("outcomes move the table, slowly") {
  std::vector<Outcome> outcomes(20, {"faded", "a", {{"tells", true}}});
  const ComplaintTable table = reestimated(coin(), outcomes);
  CHECK(table.symptoms[0].priors.at("a") == Approx((20 * 0.5 + 20) / 40));
  CHECK(table.symptoms[0].priors.at("b") == Approx(0.25));
  CHECK(table.observations[0].with.at("a") == Approx((10 * 0.9 + 20) / 30));
  CHECK_FALSE(table.observations[0].with.contains("b"));
  outcomes.assign(5, {"sad", "a", {}});
  CHECK(reestimated(coin(), outcomes).symptoms[0].priors.at("a") == Approx(0.5));
}

TEST_CASE("a cause the table did not foresee can be learnt") {
  ComplaintTable table = coin();
  table.causes.push_back({"c", "", {}, {}});
  const std::vector<Outcome> outcomes(5, {"faded", "c", {}});
  CHECK(reestimated(table, outcomes).symptoms[0].priors.at("c") == Approx(0.2));
}

TEST_CASE("the table is whole: thirteen symptoms, every name defined, every cause told apart") {
  const ComplaintTable& table = default_complaints();
  CHECK(table.symptoms.size() == 13);
  std::set<std::string> used;
  for (const Symptom& symptom : table.symptoms) {
    INFO(symptom.key);
    double sum = 0;
    for (const auto& [cause, weight] : symptom.priors) {
      INFO(cause);
      CHECK(table.cause(cause) != nullptr);
      used.insert(cause);
      sum += weight;
    }
    CHECK(sum == Approx(1));
    CHECK_FALSE(diagnose(table, symptom.key, {})->checks.empty());
  }
  std::set<std::string> causes;
  for (const Cause& cause : table.causes) {
    INFO(cause.key);
    CHECK(causes.insert(cause.key).second);
    CHECK(used.contains(cause.key));
    CHECK_FALSE(cause.steps.empty());
  }
  std::set<std::string> observations;
  for (const Observation& observation : table.observations) {
    INFO(observation.key);
    CHECK(observations.insert(observation.key).second);
    CHECK_FALSE(observation.with.empty());
    for (const auto& [cause, chance] : observation.with) {
      INFO(cause);
      CHECK(table.cause(cause) != nullptr);
      CHECK(chance > 0);
      CHECK(chance < 1);
    }
  }
}

TEST_CASE("work on hot, moving or live parts has its caution first") {
  for (const char* key : {"fuser-worn", "drum-worn", "cleaning-due", "rollers-worn", "paper-scrap", "optics-dirty"}) {
    INFO(key);
    const Cause* cause = default_complaints().cause(key);
    REQUIRE(cause);
    REQUIRE(cause->cautions.size() >= 2);
    CHECK(cause->cautions[0].find("manual") != std::string::npos);
  }
}

TEST_CASE("what a technician would say first, comes first") {
  const auto first = [](const char* symptom, const Known& known) {
    return diagnose(default_complaints(), symptom, known)->causes.front().cause;
  };
  CHECK(first("faded", {{"supply-low", true}, {"inkjet", false}}) == "supply-low");
  CHECK(first("faded", {{"supply-low", false}, {"inkjet", true}, {"idle-week", true}}) == "heads-clogged");
  CHECK(first("blank", {{"supply-new", true}, {"supply-low", false}, {"inkjet", false}}) == "seal-left-in");
  CHECK(first("nothing", {{"queue-stopped", true}, {"jobs-waiting", true}, {"device-silent", false}}) ==
        "queue-stopped");
  CHECK(first("nothing", {{"device-silent", true}, {"queue-stopped", false}}) == "device-unreachable");
  CHECK(first("garbled", {{"driver-mismatch", true}}) == "driver-wrong");
  CHECK(first("streaks", {{"drum-near-end", true}, {"inkjet", false}, {"supply-low", false}}) == "drum-worn");
  CHECK(first("tray-open", {{"jams-above-fleet", false}}) == "tray-not-seated");
  CHECK(first("wrong-place", {{"tray-misload", true}}) == "tray-mismatch");
}
