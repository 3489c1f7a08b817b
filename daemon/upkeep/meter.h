// Impressions per day and month from a counter that wraps, resets and is sometimes not read.
//
// unwrap() turns the counter into steps of use and says what it met; by_day() and by_month()
// lay the steps on a site's calendar. Nothing is invented: what cannot be known (what was
// printed between the last reading and a reset) is flagged, not guessed. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/history.h"

namespace frisket::upkeep {

enum class MeterFlag {
  wrapped,         // the 32-bit counter passed 4294967296 and went on: counted in full
  reset,           // the counter fell: what was printed between last reading and reset is missing
  board_replaced,  // the same with a new serial number
  jumped,          // rose faster than any printer prints: not counted
  apportioned,     // nobody looked for a while: spread evenly over that time
  incomplete,      // the period is not covered from its first to its last instant
};

std::string_view to_text(MeterFlag flag);  // "wrapped", "board-replaced", ...

struct UseStep {
  WallTime from;
  WallTime to;
  double impressions = 0;
  bool spread = false;  // happened somewhere between; otherwise at `to`
};

struct MeterEvent {
  WallTime at;  // of the reading that showed it
  MeterFlag flag = MeterFlag::reset;
  std::optional<WallTime> since{};  // nobody looked from then on: it may have been at any time between
};

struct MeteredUse {
  std::vector<UseStep> steps;  // adjoining, in order
  std::vector<MeterEvent> events;
  std::optional<Span> covered;  // from the first sample to `until`
};

// `until`: the instant up to which the counter is known not to have changed since its last sample.
// A rise counts as a jump beyond `fastest` impressions per minute plus 1000 (300: faster than
// cut-sheet office machines print; common practice, no source).
MeteredUse unwrap(const CounterHistory& history, WallTime until, double fastest = 300);

// Counted on from 0 at the first sample; at `instant`, spread steps in proportion to time.
double counted_until(const MeteredUse& use, WallTime instant);

// The same for many instants in order, in one walk along the steps. The use must outlive it.
class CountWalk {
 public:
  explicit CountWalk(const MeteredUse& use) : use_(use) {}
  double until(WallTime instant);  // not before the last one

 private:
  const MeteredUse& use_;
  std::size_t next_ = 0;
  double sum_ = 0;
};

struct DayUse {
  LocalDay day;
  double impressions = 0;
  bool estimated = false;  // a spread step of more than an hour reaches into this day
};

// Every local day that the steps touch, without holes.
std::vector<DayUse> by_day(const MeteredUse& use, const Calendar& calendar);

struct MonthReading {
  year_month month;
  double impressions = 0;  // whole unless apportioned
  std::vector<MeterFlag> flags;
};

// From the first to the last month touched. A month is incomplete where the covered time begins
// after its start or ends before its end.
std::vector<MonthReading> by_month(const MeteredUse& use, const Calendar& calendar);

}  // namespace frisket::upkeep
