#include "daemon/service/schedule.h"

#include <catch2/catch.hpp>
#include <chrono>
#include <string>
#include <vector>

using namespace std::chrono_literals;
using frisket::model::SteadyTime;
using frisket::service::Beat;
using frisket::service::beat_of;
using frisket::service::first_delay;
using frisket::service::next_due;

TEST_CASE("the first polls of a fleet begin one after the other, 4,000 in a second") {
  CHECK(first_delay(0) == 0s);
  CHECK(first_delay(4000) == 1s);
  CHECK(first_delay(9999) < 2500ms);
}

TEST_CASE("a device keeps its beat however long a poll takes") {
  const Beat beat{30s, 7s};
  const SteadyTime start{};
  CHECK(next_due(beat, start + 7s, start + 8s) == start + 37s);
  CHECK(next_due(beat, start + 37s, start + 37s + 29s) == start + 67s);
  // Took longer than the interval: the missed beat is skipped, not made up for.
  CHECK(next_due(beat, start + 37s, start + 37s + 31s) == start + 97s);
}

TEST_CASE("a poll that was asked for early does not bring the next one right after it") {
  const Beat beat{30s, 7s};
  const SteadyTime start{};
  // Polled at 36 s, one second before the beat: the beat at 37 s is skipped.
  CHECK(next_due(beat, start + 36s, start + 36s) == start + 67s);
  // Polled at 20 s: the beat at 37 s is 17 s away, more than half an interval.
  CHECK(next_due(beat, start + 20s, start + 20s) == start + 37s);
}

TEST_CASE("the next poll is always in the future, whatever the clock says") {
  for (const auto& now : {SteadyTime{}, SteadyTime{} + 1ns, SteadyTime{} + 30s, SteadyTime{} + 100h})
    for (const auto phase : {0s, 1s, 29s}) {
      const auto due = next_due(Beat{30s, phase}, now, now);
      CHECK(due > now);
      CHECK(due - now <= 45s);
      CHECK(due - now >= 15s);
    }
}

TEST_CASE("a thousand devices with one interval spread evenly over it") {
  std::vector<int> per_second(10);
  for (int i = 0; i < 1000; ++i)
    ++per_second[static_cast<std::size_t>(beat_of("device-" + std::to_string(i), 10s).phase / 1s)];
  // 100 expected in each second; binomial, 5 standard deviations are about 47.
  for (const auto count : per_second) {
    CHECK(count > 53);
    CHECK(count < 147);
  }
  CHECK(beat_of("device-1", 10s).phase == beat_of("device-1", 10s).phase);
}
