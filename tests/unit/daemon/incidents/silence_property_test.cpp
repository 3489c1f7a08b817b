// What holds of silent devices, whatever falls silent in whatever order: random sites, fixed seeds.
#include <catch2/catch.hpp>
#include <map>
#include <numeric>
#include <set>

#include "lives.h"
#include "sites.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

namespace {

constexpr auto kBetweenRounds = 30s;
constexpr int kSilentAfter = 3;  // polling.silent_after as it comes
// Rounds of polls in which a silence is not told of though it has lasted: it waits for its neighbours, and its
// subnet for the site, for a minute; and before, if it was left behind by an outage, for its own next poll.
constexpr int kMostUntold = 3;

// Two subnets, one of them of IPv6, and devices by name; the truth of who is silent is kept here.
class Garden {
 public:
  explicit Garden(unsigned seed) : chance(seed), config_(site_of(random_addresses())), correlator(config_) {
    order_.resize(config_.devices.size());
    std::iota(order_.begin(), order_.end(), 0);
    silent.assign(config_.devices.size(), false);
    missed_polls.assign(config_.devices.size(), 0);
    untold.assign(config_.devices.size(), 0);
  }

  // A switch that dies or comes back, the whole house, or one device.
  void something_happens() {
    const int size = static_cast<int>(silent.size());
    const bool off = chance.once_in(2);
    const int what = chance.between(1, 6);
    if (what == 1) return set(0, size, off);
    if (what == 2) return set(0, first_, off);
    if (what == 3) return set(first_, first_ + second_, off);
    const int one = chance.between(0, size - 1);
    set(one, one + 1, off);
  }

  std::vector<std::string> round() {
    std::vector<std::string> words;
    at += kBetweenRounds;
    chance.shuffle(order_);
    for (const int i : order_) {
      const auto n = static_cast<std::size_t>(i);
      missed_polls[n] = silent[n] ? missed_polls[n] + 1 : 0;
      std::ranges::move(told(correlator.apply(reading_of(i, silent[n], at))), std::back_inserter(words));
    }
    return words;
  }

  void restart(bool with_devices = true) {
    restart_from_store(correlator, config_, at, with_devices);
    untold.assign(untold.size(), 0);  // who waited begins to wait again
  }

 private:
  std::vector<std::string> random_addresses() {
    first_ = chance.between(3, 8);
    second_ = chance.between(3, 8);
    auto all = addresses("192.0.2.", first_);
    for (auto& address : addresses("2001:db8:0:7::", second_)) all.push_back(address);
    for (int i = chance.between(0, 8); i > 0; --i) all.push_back("rest" + std::to_string(i) + ".garden.example");
    return all;
  }
  void set(int from, int to, bool off) {
    for (int i = from; i < to; ++i) silent[static_cast<std::size_t>(i)] = off;
  }

  int first_ = 0;
  int second_ = 0;

 public:
  Chance chance;

 private:
  config::Config config_;
  std::vector<int> order_;

 public:
  Correlator correlator;
  std::vector<bool> silent;
  std::vector<int> missed_polls;
  std::vector<int> untold;  // rounds in a row
  WallTime at = kMorning;
};

// How many of the raised incidents name each device as silent.
std::map<std::string, int> named_silent(const Correlator& correlator) {
  std::map<std::string, int> named;
  for (const auto* incident : correlator.incidents()) {
    if (incident->state != Incident::State::raised) continue;
    for (const auto& condition : incident->evidence)
      if (condition.keyword == "device-silent") ++named[incident->device.value_or(condition.place)];
  }
  return named;
}

void check_who_is_told(Garden& garden) {
  auto named = named_silent(garden.correlator);
  for (std::size_t i = 0; i < garden.silent.size(); ++i) {
    const auto name = copier(static_cast<int>(i));
    INFO(name << ", " << garden.missed_polls[i] << " polls missed");
    if (garden.missed_polls[i] < kSilentAfter) CHECK(named[name] == 0);
    CHECK(named[name] <= 1);
    const bool waits = garden.missed_polls[i] >= kSilentAfter && named[name] == 0;
    garden.untold[i] = waits ? garden.untold[i] + 1 : 0;
    CHECK(garden.untold[i] <= kMostUntold);
  }
  std::set<std::string> places;
  for (const auto* incident : garden.correlator.incidents())
    if (incident->kind == "site-silent" && incident->state == Incident::State::raised)
      CHECK(places.insert(incident->place).second);
}

}  // namespace

TEST_CASE("each device that stays silent is told of once, and none that answers") {
  int outages = 0;
  int alone = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    INFO("seed " << seed);
    Garden garden(seed);
    for (int i = 0; i < 60; ++i) {
      INFO("round " << i);
      if (garden.chance.once_in(4)) garden.something_happens();
      if (garden.chance.once_in(15)) garden.restart();
      for (const auto& word : garden.round()) {
        if (word.starts_with("raised site-silent")) ++outages;
        if (word.starts_with("raised device-silent")) ++alone;
      }
      check_who_is_told(garden);
    }
    garden.silent.assign(garden.silent.size(), false);
    for (int i = 0; i < 125; ++i) garden.round();  // for more than an hour
    CHECK(open_set(garden.correlator) == std::vector<std::string>{});
  }
  CHECK(outages > 25);  // else nothing has happened that could show anything
  CHECK(alone > 25);
}
