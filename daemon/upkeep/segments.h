// A supply's level history, cut where the supply was replaced, and read as intervals.
//
// A reported level is not a measurement but the name of an interval: a device that reports in
// steps of 10 says "50" for anything between 40 and 50, or 45 and 55, or 50 and 60, depending on
// how its maker rounds. What is sharp is the instant of a fall from one step to the next. So
// each stretch of one cartridge (drum, receptacle) is a list of such falls against impressions.
// For a receptacle the standard's level is the room left, so everything reads the same. Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "daemon/upkeep/history.h"

namespace frisket::upkeep {

struct Fall {
  WallTime at;
  double impressions = 0;  // by the device's count; 0 throughout where it has none
  double percent = 0;      // level after the fall
  bool sharp = true;       // one step, and somebody looked: the true level is at the step's edge
};

struct Segment {
  enum class Begin {
    history,   // already there when the history began
    replaced,  // rose to full
    raised,    // rose, not to full: partly used, refilled, or another one put in
  };

  Begin begin = Begin::history;
  WallTime from;
  double start_impressions = 0;
  double start_percent = 0;
  std::vector<Fall> falls;
  double percent = 0;  // reported last
  WallTime percent_since;
  double percent_impressions = 0;  // count when it became so
  bool percent_sharp = false;      // it became so by a sharp fall
  double wobble = 0;               // sum of rises too small for a replacement, in percent
};

enum class LevelNow { nothing, unknown, unlimited, some_left, counted };

struct LevelSeries {
  LevelNow now = LevelNow::nothing;
  bool ever_counted = false;
  bool ever_some_left = false;
  double step = 1;                // resolution of the reported level, in percent
  std::vector<Segment> segments;  // oldest first; empty where no level was ever counted
  std::vector<WallTime> rises;    // instants of replacements and raises
};

// Percent need a capacity; where a device counts without telling one, the largest level seen
// stands in. A rise of at most 5 % (or one step, if not to full) is wobble: shaken, or a gauge that
// changed its mind.
LevelSeries segment(const SupplyHistory& history);

}  // namespace frisket::upkeep
