// Properties that hold for any readings: random devices, fixed seeds.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "lives.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

namespace {

constexpr int kSequences = 50;
constexpr int kReadings = 25;

// A random life of one device; `each` is called with every reading.
template <class Each>
void live(unsigned seed, Each each) {
  Chance chance(seed);
  auto snapshot = full_device();
  std::int32_t next_row = 1;
  auto at = kMorning;
  for (int i = 0; i < kReadings; ++i) {
    for (int changes = chance.between(1, 4); changes > 0; --changes) change_something(chance, snapshot, next_row);
    at += std::chrono::seconds(chance.between(10, 300));
    auto next = chance.once_in(8) ? missed(at, static_cast<model::Reach>(chance.between(1, 3))) : reading(snapshot, at);
    each(next, chance);
  }
}

std::vector<const Incident*> raised(const Correlator& correlator) {
  auto all = correlator.incidents();
  std::erase_if(all, [](const Incident* incident) { return incident->state != Incident::State::raised; });
  return all;
}

std::string evidence_of(const Incident& incident) {
  std::string words;
  for (const auto& condition : incident.evidence)
    words +=
        ", " + condition_key(condition.keyword, condition.subunit) + " " + std::string(to_text(condition.severity));
  return words;
}

std::vector<std::string> in_words(const std::vector<Transition>& transitions) {
  std::vector<std::string> words;
  for (const auto& [what, at, incident] : transitions)
    words.push_back(std::string(to_text(what)) + " " + incident.id + " " + incident.kind + " " +
                    to_text(incident.subunit.value_or(Subunit{})) + " " + std::string(to_text(incident.severity)) +
                    evidence_of(incident));
  return words;
}

}  // namespace

TEST_CASE("no readings give two raised incidents of one device, kind and subunit") {
  std::size_t most = 0;
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator correlator(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      correlator.apply(next);
      std::set<std::pair<std::string, Subunit>> seen;
      std::set<std::pair<std::string, Subunit>> evidence;
      for (const auto* incident : raised(correlator)) {
        INFO("seed " << seed << ", " << incident->kind);
        CHECK(seen.emplace(incident->kind, incident->subunit.value_or(Subunit{})).second);
        for (const auto& condition : incident->evidence)
          CHECK(evidence.emplace(condition.keyword, condition.subunit).second);
      }
      most = std::max(most, seen.size());
    });
  }
  CHECK(most >= 5);  // else the readings were too tame to show anything
}

TEST_CASE("repeating a reading changes nothing") {
  std::size_t told = 0;
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator correlator(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      const auto first = correlator.apply(next);
      told += first.size();
      if (next.reach != model::Reach::answered) return;
      INFO("seed " << seed << ", after " << Catch::StringMaker<std::vector<std::string>>::convert(in_words(first)));
      CHECK(in_words(correlator.apply(next)) == std::vector<std::string>{});
      CHECK(correlator.tick(next.at).empty());
    });
  }
  CHECK(told > 1000);
}

TEST_CASE("the order of the alert rows does not matter") {
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator listed(one_device());
    Correlator shuffled(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance& chance) {
      auto other = next;
      if (next.snapshot != nullptr) {
        auto snapshot = *next.snapshot;
        chance.shuffle(snapshot.alerts);
        other.snapshot = std::make_shared<const model::DeviceSnapshot>(std::move(snapshot));
      }
      INFO("seed " << seed);
      CHECK(in_words(listed.apply(next)) == in_words(shuffled.apply(other)));
      CHECK(listed.device("herbarium-copier")->conditions == shuffled.device("herbarium-copier")->conditions);
    });
  }
}

TEST_CASE("a restart between any two readings changes no transition and no id") {
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator steady(one_device());
    Correlator restarted(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      Correlator fresh(one_device());
      CHECK(fresh.restore(restarted.memory(), next.at).empty());
      restarted = std::move(fresh);
      INFO("seed " << seed);
      CHECK(in_words(steady.apply(next)) == in_words(restarted.apply(next)));
    });
    CHECK(steady.memory() == restarted.memory());
  }
}

TEST_CASE("the same readings give the same incidents with the same ids, in rising order") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    Correlator one(one_device());
    Correlator two(one_device());
    std::string last;
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      const auto transitions = one.apply(next);
      CHECK(in_words(transitions) == in_words(two.apply(next)));
      for (const auto& transition : transitions) {
        if (transition.what != Transition::What::raised || transition.incident.times_raised > 1) continue;
        CHECK(transition.incident.id > last);
        last = transition.incident.id;
      }
    });
    CHECK(one.memory() == two.memory());
  }
}
