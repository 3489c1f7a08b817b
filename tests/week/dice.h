// Chance with a fixed seed. The standard's distributions differ between libraries, the engine does not.
#pragma once

#include <cstdint>
#include <random>
#include <string_view>
#include <vector>

#include "probes/model/time.h"

namespace frisket::week {

using Seconds = std::chrono::seconds;
using model::WallTime;

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}

  // Both ends are possible. The remainder favours the low end by less than 2^-50.
  std::int64_t between(std::int64_t least, std::int64_t most) {
    return least + static_cast<std::int64_t>(engine_() % static_cast<std::uint64_t>(most - least + 1));
  }
  Seconds between(Seconds least, Seconds most) { return Seconds{between(least.count(), most.count())}; }
  bool one_in(std::int64_t n) { return between(1, n) == 1; }
  template <class T>
  const T& one_of(const std::vector<T>& all) {
    return all[static_cast<std::size_t>(between(0, static_cast<std::int64_t>(all.size()) - 1))];
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace frisket::week
