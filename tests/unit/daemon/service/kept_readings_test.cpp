// What is kept of the readings raises and clears what the whole course of them did.
#include "daemon/service/kept_readings.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "daemon/incidents/fixtures.h"
#include "daemon/store/memory_store.h"

using namespace frisket;
using namespace frisket::incidents::testing;
using incidents::Correlator;
using incidents::WallTime;
using service::KeptReadings;

namespace {

constexpr int kSequences = 60;
constexpr int kPolls = 400;
constexpr auto kInterval = 30s;

// A printer that prints, runs dry, jams, is opened and does not always answer.
class Life {
 public:
  explicit Life(unsigned seed) : engine_(seed) {}

  model::DeviceReading next(WallTime at) {
    if (away_ > 0) {
      --away_;
      return missed(at);
    }
    if (one_in(3)) print();
    if (one_in(12)) stir();
    return reading(snapshot_, at);
  }

 private:
  bool one_in(int n) { return std::uniform_int_distribution<int>(1, n)(engine_) == 1; }

  void print() {
    *snapshot_.markers[0].life_count += 3;
    toner_ = std::max(0.0, toner_ - 0.4);
    snapshot_.supplies[0].level = model::Amount{static_cast<std::int32_t>(toner_)};
  }

  void stir() {
    using model::AlertCode;
    switch (std::uniform_int_distribution<int>(1, 6)(engine_)) {
      case 1:
        if (snapshot_.alerts.empty())
          snapshot_.alerts = {alert(model::AlertSeverity::critical, model::AlertGroup::input, 2, AlertCode::jam)};
        else
          snapshot_.alerts.clear();
        break;
      case 2: {
        auto& cover = snapshot_.covers[0].status;
        cover =
            cover == model::CoverStatus::cover_open ? model::CoverStatus::cover_closed : model::CoverStatus::cover_open;
        break;
      }
      case 3:
        if (toner_ < 15) snapshot_.supplies[0].level = model::Amount{static_cast<std::int32_t>(toner_ = 100)};
        break;
      case 4:
        away_ = std::uniform_int_distribution<int>(1, 6)(engine_);
        break;
      case 5:
        snapshot_.inputs[0].current_level = model::Amount{one_in(2) ? 0 : 400};
        break;
      default:
        toner_ = std::min(toner_, 14.0);
    }
  }

  std::mt19937 engine_;
  model::DeviceSnapshot snapshot_ = healthy();
  double toner_ = 40;
  int away_ = 0;
};

// The daemon's clock beats between readings too.
void tick_until(Correlator& correlator, WallTime& beat, WallTime end, std::vector<incidents::Transition>& told) {
  for (; beat <= end; beat += 1s)
    for (auto& transition : correlator.tick(beat)) told.push_back(std::move(transition));
}

std::vector<std::string> in_words(const Correlator& correlator) {
  std::vector<std::string> words;
  for (const auto* incident : correlator.incidents())
    words.push_back(incident->id + " " + incident->kind + " " + std::string(to_text(incident->state)) + " raised " +
                    std::to_string(incident->times_raised) + " " + model::to_rfc3339(incident->raised_at) + " " +
                    model::to_rfc3339(incident->changed_at) + " " + std::string(to_text(incident->proof)) + " " +
                    incident->outcome);
  return words;
}

}  // namespace

TEST_CASE("the readings that are kept, replayed, give the stored incidents") {
  std::size_t kept = 0;
  std::size_t told = 0;
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    const auto config = one_device();
    Correlator lived(config);
    KeptReadings filter;
    store::MemoryStore store;
    Life life(seed);
    auto beat = kMorning;
    std::vector<incidents::Transition> transitions;
    for (int poll = 0; poll < kPolls; ++poll) {
      const auto at = kMorning + poll * kInterval;
      tick_until(lived, beat, at, transitions);
      const auto next = life.next(at);
      auto changes = lived.apply(next);
      store::Batch batch;
      if (filter.wants(next, *lived.device(next.device), *lived.memory_of(next.device), !changes.empty(),
                       config.polling.silent_after))
        batch.readings.push_back(next);
      std::ranges::move(changes, std::back_inserter(transitions));
      batch.transitions = std::exchange(transitions, {});
      told += batch.transitions.size();
      REQUIRE(store.write(batch));
    }

    const auto readings = store.readings_since(WallTime{});
    REQUIRE(readings);
    kept += readings->size();
    Correlator replayed(config);
    beat = kMorning;
    for (const auto& reading : *readings) {
      tick_until(replayed, beat, reading.at, transitions);
      replayed.apply(reading);
    }
    tick_until(replayed, beat, kMorning + kPolls * kInterval - kInterval, transitions);
    transitions.clear();
    INFO("seed " << seed);
    CHECK(in_words(replayed) == in_words(lived));
    CHECK(in_words(replayed).size() == store.memory()->incidents.size());
  }
  CHECK(told > 1000);
  CHECK(kept < kSequences * kPolls / 2);  // else everything might be kept
}

TEST_CASE("steady polls, and levels that sink by a page, are not kept") {
  Correlator correlator(one_device());
  KeptReadings filter;
  int kept = 0;
  auto snapshot = healthy();
  for (int poll = 0; poll < 100; ++poll) {
    snapshot.markers[0].life_count = 120345 + poll;
    snapshot.supplies[0].level = model::Amount{80 - poll / 25};
    const auto next = reading(snapshot, kMorning + poll * kInterval);
    const bool told = !correlator.apply(next).empty();
    kept += filter.wants(next, *correlator.device(next.device), *correlator.memory_of(next.device), told, 3);
  }
  CHECK(kept == 1);  // the first
}

TEST_CASE("a device that stays away is kept until it counts as silent") {
  Correlator correlator(one_device());
  KeptReadings filter;
  int kept = 0;
  for (int poll = 0; poll < 100; ++poll) {
    const auto next = missed(kMorning + poll * kInterval);
    const bool told = !correlator.apply(next).empty();
    kept += filter.wants(next, *correlator.device(next.device), *correlator.memory_of(next.device), told, 3);
  }
  CHECK(kept == 4);
}
