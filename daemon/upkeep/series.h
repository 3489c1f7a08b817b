// A device's past as lines for people to look at: impressions and levels at even steps. Pure; any thread.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/change.h"
#include "daemon/upkeep/history.h"

namespace frisket::upkeep {

enum class Resolution { raw, hour, day, week };  // raw: as it is kept
std::string_view to_text(Resolution resolution);

struct LinePoint {
  WallTime at;
  std::optional<double> value;  // nothing: not known then
};

struct Series {
  std::optional<std::int32_t> supply;  // its index; nothing: the page counter
  SupplyStated what;                   // of a supply
  std::vector<LinePoint> points;       // in order of time, each with what held up to then
};

struct PastLines {
  std::vector<Series> series;    // the page counter first, if there is one
  std::vector<Span> unobserved;  // within the span
};

inline constexpr std::size_t kMostPoints = 10'000;  // of one series

// Impressions are what was printed within the step (raw: since the sample before); levels are in percent. Days and
// weeks are the site's, and weeks begin on Monday; the last step ends with the span. Nothing if a series would have
// more than kMostPoints.
std::optional<PastLines> past_lines(std::span<const Change> changes, Span span, Resolution resolution,
                                    const Calendar& calendar);

}  // namespace frisket::upkeep
