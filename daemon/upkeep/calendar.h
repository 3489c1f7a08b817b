// Local days of a site: where they begin, how long they are, which are holidays.
//
// Use follows people's days, and those follow the site's clock: a local day has 23 or 25
// hours where the clock changes (IANA time zone data), and a month begins at local midnight.
// Everything in this layer that counts by day or month asks a Calendar. Immutable; any
// thread. Reads the machine's zone data once per process, when the first Calendar is made.
#pragma once

#include <chrono>
#include <compare>
#include <string>
#include <vector>

#include "config/local_clock.h"
#include "probes/model/result.h"
#include "probes/model/time.h"

namespace frisket::upkeep {

using model::Milliseconds;
using model::WallTime;

// A date on the site's wall calendar, without a zone of its own.
using LocalDay = std::chrono::local_days;
using std::chrono::year_month;

struct IsoWeek {
  int year = 0;
  int week = 0;     // 1 to 53
  int weekday = 0;  // 1 Monday to 7 Sunday
  friend auto operator<=>(const IsoWeek&, const IsoWeek&) = default;
};

class Calendar {
 public:
  // `zone` is an IANA name. Errors: invalid for a name that the zone data does not know, local
  // where the machine has no zone data. Holidays are whole local days; order and repetition
  // do not matter.
  static model::Result<Calendar> of(const std::string& zone, std::vector<LocalDay> holidays = {});

  LocalDay day_of(WallTime instant) const { return clock_.day_of(instant); }
  // The first instant of the day. Where the clock skips midnight, the day begins at the change;
  // a date that the zone skipped altogether begins where the next one does and has no length.
  WallTime start_of(LocalDay day) const { return clock_.instant_of(day); }
  Milliseconds length_of(LocalDay day) const { return start_of(day + std::chrono::days{1}) - start_of(day); }
  // Since the day began, in real elapsed time.
  Milliseconds into_day(WallTime instant) const { return instant - start_of(day_of(instant)); }

  year_month month_of(WallTime instant) const;
  WallTime start_of(year_month month) const;  // local midnight of the first

  bool holiday(LocalDay day) const;

 private:
  Calendar(config::LocalClock clock, std::vector<LocalDay> holidays) : clock_(clock), holidays_(std::move(holidays)) {}

  config::LocalClock clock_;
  std::vector<LocalDay> holidays_;
};

// 0 Monday to 6 Sunday.
int weekday_of(LocalDay day);
year_month month_of(LocalDay day);
// ISO 8601: week 1 holds the year's first Thursday.
IsoWeek iso_week_of(LocalDay day);
// "2026-03-29", "2026-03"
std::string to_text(LocalDay day);
std::string to_text(year_month month);

// Each of these month days in each year from `first` to `last`; 29 February only where it exists.
std::vector<LocalDay> yearly(const std::vector<std::chrono::month_day>& days, int first, int last);

}  // namespace frisket::upkeep
