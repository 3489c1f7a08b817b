// Numbers for the versions of what the board shows: no two things, and no two versions of one, have the same within
// one run of the daemon. So a list's version is told by the numbers of its items. One thread.
#pragma once

#include <cstdint>

namespace frisket::http {

class Revisions {
 public:
  std::uint64_t next() { return ++last_; }

 private:
  std::uint64_t last_ = 0;
};

// Several numbers in their order as one. Nobody beyond this program chooses them, so mixing them well is enough.
class Versions {
 public:
  void add(std::uint64_t revision) {
    mixed_ = (mixed_ ^ revision) * 0x9E3779B97F4A7C15U;
    mixed_ ^= mixed_ >> 29U;
  }
  std::uint64_t number() const { return mixed_; }

 private:
  std::uint64_t mixed_ = 0;
};

}  // namespace frisket::http
