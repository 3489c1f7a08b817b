// When a supply will be used up (a receptacle: full), as three dates or the reason why not.
//
// The supply is used up when the impressions to come have taken what remains. Both are
// uncertain: what remains, in impressions, by the rounding of the level and the consumption; what
// will be printed, by the use forecast. Their ratio is taken as gamma distributed, which is right
// for idle and bursty devices as well as for steady ones. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/consumption.h"
#include "daemon/upkeep/use_forecast.h"

namespace frisket::upkeep {

enum class NoDate {
  not_reported,    // "level not reported"
  some_left_only,  // "some left only"
  unlimited,       // "the supply places no restriction"
  little_history,  // "too little history: 5 days"
  nothing_used,    // "nothing consumed in 90 days": idle, or a gauge that does not move
  contradictory,   // "contradictory: the level rose 5 times in 14 days"
};

std::string_view to_text(NoDate reason);  // "level-not-reported", "some-left-only", ...

struct DepletionForecast {
  // A quantile that lies beyond the horizon is absent. All absent, and no reason: not before the horizon.
  std::optional<WallTime> p10;
  std::optional<WallTime> p50;
  std::optional<WallTime> p90;
  std::optional<NoDate> no_date;
  std::string reason;             // one phrase for people, with its figures; empty with dates
  double impressions_left = 0;    // expected; 0 without dates
  std::optional<double> percent;  // best estimate of what is left
  double per_impression = 0;      // percent
  bool from_part = false;         // consumption mostly the fleet's figure for this part number
};

inline constexpr int kHorizonDays = 730;

struct DepletionInput {
  const LevelSeries& series;
  const std::optional<PartPrior>& prior;
  const UseForecast* use;      // null: too little history of use
  std::size_t use_days = 0;    // how many days of use there are, for the reason
  double impressions_now = 0;  // the device's count at the moment of the forecast
  WallTime now;
};

DepletionForecast deplete(const DepletionInput& input);

// Days from `now`, as a fraction.
double days_between(WallTime from, WallTime to);

}  // namespace frisket::upkeep
