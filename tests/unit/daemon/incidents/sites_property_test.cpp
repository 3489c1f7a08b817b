// Properties of many devices together: random lives, fixed seeds.
#include <algorithm>
#include <catch2/catch.hpp>
#include <numeric>
#include <random>

#include "daemon/incidents/kinds.h"
#include "lives.h"
#include "sites.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

namespace {

constexpr int kDevices = 4;
constexpr int kRounds = 25;
using Round = std::vector<model::DeviceReading>;

// Random devices, each read once a round, at the round's time.
std::vector<Round> lives(unsigned seed) {
  Chance chance(seed);
  std::vector<Round> rounds;
  std::vector<model::DeviceSnapshot> snapshots(kDevices, full_device());
  std::int32_t next_row = 1;
  auto at = kMorning;
  for (int i = 0; i < kRounds; ++i) {
    at += std::chrono::seconds(chance.between(10, 300));
    Round round;
    for (int device = 0; device < kDevices; ++device) {
      auto& snapshot = snapshots[static_cast<std::size_t>(device)];
      for (int changes = chance.between(0, 3); changes > 0; --changes) change_something(chance, snapshot, next_row);
      auto next = chance.once_in(6) ? missed(at) : reading(snapshot, at);
      next.device = copier(device);
      round.push_back(std::move(next));
    }
    rounds.push_back(std::move(round));
  }
  return rounds;
}

// Each of them one to three times, in any order. A poll that is missed twice is two missed polls, so
// these are not repeated.
Round shuffled(const Round& round, Chance& chance) {
  Round all;
  for (const auto& next : round)
    for (int times = next.reach == model::Reach::answered ? chance.between(1, 3) : 1; times > 0; --times)
      all.push_back(next);
  chance.shuffle(all);
  return all;
}

bool is_about_silence(const Incident& incident) {
  const auto& family = kind_of(incident.kind).family;
  return family == "reach" || family == "site";
}

// Everything of what is open that a person sees, but the ids.
std::vector<std::string> seen(const Correlator& correlator, bool with_silence = true) {
  std::vector<std::string> words;
  for (const auto* incident : correlator.incidents()) {
    if (incident->state != Incident::State::raised) continue;
    if (!with_silence && is_about_silence(*incident)) continue;
    auto text = incident->device.value_or(incident->place) + ": " + std::string(to_text(incident->severity)) + " " +
                incident->summary + " " + std::to_string(incident->times_raised);
    for (const auto& condition : incident->evidence) text += ", " + condition_key(condition.keyword, condition.subunit);
    words.push_back(std::move(text));
  }
  std::ranges::sort(words);
  return words;
}

config::Config each_a_site() {
  auto config = site_of(kDevices);
  for (auto& device : config.devices) {
    device.site = "site-of-" + device.name;
    config.sites.push_back({device.site, "UTC"});
  }
  return config;
}

void feed(Correlator& correlator, const Round& round) {
  for (const auto& next : round) correlator.apply(next);
}

}  // namespace

TEST_CASE("the order in which devices are read, and reading them again, changes nothing of what is open") {
  std::size_t most = 0;
  for (unsigned seed = 1; seed <= 20; ++seed) {
    Chance chance(seed + 1000);
    Correlator plain(each_a_site());
    Correlator mixed(each_a_site());
    for (const auto& round : lives(seed)) {
      feed(plain, round);
      feed(mixed, shuffled(round, chance));
      INFO("seed " << seed);
      REQUIRE(seen(plain) == seen(mixed));
      most = std::max(most, seen(plain).size());
    }
    CHECK(plain.incidents().size() == mixed.incidents().size());  // those that were cleared too
  }
  CHECK(most >= 10);  // else the lives were too tame to show anything
}

TEST_CASE("devices of one site that are read in any order have the same troubles, and in the end none") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    Chance chance(seed + 2000);
    Correlator plain(site_of(kDevices));
    Correlator mixed(site_of(kDevices));
    const auto rounds = lives(seed);
    for (const auto& round : rounds) {
      feed(plain, round);
      feed(mixed, shuffled(round, chance));
      INFO("seed " << seed);
      REQUIRE(seen(plain, false) == seen(mixed, false));
    }
    // Which of them was silent by itself may have hung on the order while it lasted. All answer for more
    // than an hour, and nothing of it is left.
    auto calm = rounds.back();
    auto at = calm.front().at;
    for (int i = 0; i < 70; ++i) {
      at += 1min;
      for (auto& next : calm) {
        const auto device = next.device;
        next = reading(full_device(), at);
        next.device = device;
      }
      feed(plain, calm);
      feed(mixed, shuffled(calm, chance));
    }
    INFO("seed " << seed);
    CHECK(open_set(plain) == std::vector<std::string>{});
    CHECK(open_set(mixed) == std::vector<std::string>{});
  }
}

TEST_CASE("a site that falls silent is one incident in whatever order its devices are polled") {
  for (unsigned seed = 1; seed <= 100; ++seed) {
    INFO("seed " << seed);
    Chance chance(seed);
    const int size = chance.between(6, 20);
    auto devices = addresses("192.0.2.", size / 2);
    for (auto& address : addresses("198.51.100.", size - size / 2)) devices.push_back(address);
    Correlator correlator(site_of(devices));
    std::vector<int> order(static_cast<std::size_t>(size));
    std::iota(order.begin(), order.end(), 0);
    std::vector<std::string> words;
    auto at = kMorning;
    for (int round = 0; round < 8; ++round) {
      at += 30s;
      chance.shuffle(order);
      for (const int device : order)
        std::ranges::move(told(correlator.apply(reading_of(device, round >= 1 && round < 6, at))),
                          std::back_inserter(words));
    }
    CHECK(words == std::vector<std::string>{"raised site-silent glasshouse", "cleared site-silent glasshouse"});
  }
}
