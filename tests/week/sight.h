// From which poll on a problem can be known, by the polls alone: nothing in here knows what the correlator said.
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "truth.h"

namespace frisket::week {

inline constexpr int kSilentAfter = 3;    // polling.silent_after
inline constexpr int kInterruptions = 6;  // within an hour

struct Sight {
  Truth truth;
  std::optional<WallTime> first;     // the first poll that shows it
  std::optional<WallTime> shown;     // ... once it has lasted for its grace; nothing: no poll ever showed it
  std::optional<WallTime> due;       // by the poll after that it has to be told
  int polls_after_end = 0;           // answered, once it is mended and no longer held
  std::optional<WallTime> over_due;  // by then it has to be cleared
};

class Sights {
 public:
  // Devices are numbered as in the fleet.
  Sights(const std::vector<Truth>& truths, const std::vector<Member>& fleet);

  // One poll, in order of time.
  void poll(std::size_t device, const Printer& printer, WallTime at, bool answered);

  std::vector<Sight> take() { return std::move(sights_); }

 private:
  struct Polled {
    std::size_t site = 0;
    int missed = 0;
    std::deque<WallTime> interruptions;
    std::vector<std::size_t> sights;
  };

  struct Site {
    std::string name;
    std::vector<std::size_t> sights;
    int devices = 0;
    int silent = 0;
  };

  Site& site_named(const std::string& name);
  bool shows(const Truth& truth, const Polled& device, const Printer& printer, bool answered) const;
  void look(Sight& sight, bool shows, bool speaks, WallTime at);

  std::vector<Sight> sights_;
  std::vector<Polled> devices_;
  std::vector<Site> sites_;
};

}  // namespace frisket::week
