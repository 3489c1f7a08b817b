#include "daemon/upkeep/series.h"

#include <algorithm>
#include <array>

#include "daemon/upkeep/meter.h"
#include "daemon/upkeep/spans.h"
#include "daemon/upkeep/told_history.h"

namespace frisket::upkeep {
namespace {

using namespace std::chrono_literals;

// Ends of the steps, the last one the span's.
std::optional<std::vector<WallTime>> steps_of(Span span, Resolution resolution, const Calendar& calendar) {
  std::vector<WallTime> ends;
  auto day = calendar.day_of(span.from);
  if (resolution == Resolution::week) day -= std::chrono::days{weekday_of(day)};
  auto end = std::chrono::floor<std::chrono::hours>(span.from);
  while (ends.empty() || ends.back() < span.to) {
    if (ends.size() == kMostPoints) return std::nullopt;
    if (resolution == Resolution::hour) {
      end += 1h;
      ends.push_back(std::min<WallTime>(end, span.to));
    } else {
      day += std::chrono::days{resolution == Resolution::week ? 7 : 1};
      const auto next = calendar.start_of(day);
      if (next > span.from) ends.push_back(std::min(next, span.to));
    }
  }
  return ends;
}

template <class Sample>
std::optional<std::vector<WallTime>> instants_of(const std::vector<Sample>& samples, Span span) {
  std::vector<WallTime> instants;
  for (const auto& sample : samples)
    if (sample.at >= span.from && sample.at <= span.to) instants.push_back(sample.at);
  if (instants.size() > kMostPoints) return std::nullopt;
  return instants;
}

// Whether nobody looked at that instant.
class Blind {
 public:
  explicit Blind(const std::vector<Span>& spans) : spans_(spans) {}
  bool at(WallTime instant) const {
    const auto after = std::ranges::upper_bound(spans_, instant, {}, &Span::from);
    return after != spans_.begin() && instant <= std::prev(after)->to && instant > std::prev(after)->from;
  }

 private:
  const std::vector<Span>& spans_;
};

Series impressions_line(const CounterHistory& counter, const std::vector<WallTime>& ends, Span span) {
  const auto use = unwrap(counter, std::min(span.to, last_seen(counter, span.to)));
  Series line;
  CountWalk walk(use);
  auto before = walk.until(span.from);
  auto from = span.from;
  for (const auto end : ends) {
    const auto now = walk.until(end);
    const bool covered = use.covered && end > use.covered->from && from < use.covered->to;
    line.points.push_back({end, covered ? std::optional(now - before) : std::nullopt});
    before = now;
    from = end;
  }
  return line;
}

Series level_line(const ToldSupply& told, const SupplyHistory& history, const std::vector<WallTime>& ends,
                  const Blind& blind) {
  Series line{told.what.supply, told.what, {}};
  auto sample = history.samples.begin();
  std::optional<double> percent;
  for (const auto end : ends) {
    for (; sample != history.samples.end() && sample->at <= end; ++sample)
      percent = model::percent_of(sample->level, sample->capacity);
    line.points.push_back({end, blind.at(end) ? std::nullopt : percent});
  }
  return line;
}

}  // namespace

std::string_view to_text(Resolution resolution) {
  constexpr std::array<std::string_view, 4> kNames{"raw", "hour", "day", "week"};
  return kNames.at(static_cast<std::size_t>(resolution));
}

std::optional<PastLines> past_lines(std::span<const Change> changes, Span span, Resolution resolution,
                                    const Calendar& calendar) {
  const auto told = told_history(changes);
  const auto& counter = told.history.counter;
  PastLines lines;
  lines.unobserved = joined(counter.unobserved, span);
  const Blind blind(lines.unobserved);
  const auto steps = resolution == Resolution::raw ? std::nullopt : steps_of(span, resolution, calendar);
  if (resolution != Resolution::raw && !steps) return std::nullopt;
  if (!counter.samples.empty()) {
    const auto ends = steps ? steps : instants_of(counter.samples, span);
    if (!ends) return std::nullopt;
    lines.series.push_back(impressions_line(counter, *ends, span));
  }
  for (std::size_t i = 0; i < told.supplies.size(); ++i) {
    const auto& history = told.history.supplies[i];
    const auto ends = steps ? steps : instants_of(history.samples, span);
    if (!ends) return std::nullopt;
    lines.series.push_back(level_line(told.supplies[i], history, *ends, blind));
  }
  return lines;
}

}  // namespace frisket::upkeep
