#include "daemon/upkeep/meter.h"

#include <algorithm>
#include <array>

namespace frisket::upkeep {
namespace {

constexpr std::uint64_t kWrap = std::uint64_t{1} << 32;  // Counter32, RFC 2578 section 7.1.6

bool reaches_into(const std::vector<Span>& spans, WallTime from, WallTime to) {
  const auto after = std::upper_bound(spans.begin(), spans.end(), from,
                                      [](WallTime instant, const Span& span) { return instant < span.to; });
  return after != spans.end() && after->from < to;
}

// A step so short says well enough on which day something was printed.
constexpr auto kShort = std::chrono::hours{1};

double minutes(Milliseconds time) { return static_cast<double>(time.count()) / 60000; }

// Adds `amount` to the periods it falls into: in proportion to the time shared with each.
template <class PeriodOf, class StartOf, class Add>
void lay_out(const UseStep& step, PeriodOf period_of, StartOf start_of_next, Add add) {
  if (!step.spread || step.from >= step.to) {
    add(period_of(step.to), step.impressions);
    return;
  }
  const auto whole = static_cast<double>((step.to - step.from).count());
  for (WallTime from = step.from; from < step.to;) {
    const auto period = period_of(from);
    const WallTime to = std::min(step.to, start_of_next(period));
    add(period, step.impressions * static_cast<double>((to - from).count()) / whole);
    from = to;
  }
}

// Asking the zone for every step of a history costs more than all the rest; steps of one day
// follow each other.
class DayFinder {
 public:
  explicit DayFinder(const Calendar& calendar) : calendar_(calendar) {}

  LocalDay of(WallTime at) {
    if (at < from_ || at >= to_) {
      day_ = calendar_.day_of(at);
      from_ = calendar_.start_of(day_);
      to_ = calendar_.start_of(day_ + std::chrono::days{1});
    }
    return day_;
  }

 private:
  const Calendar& calendar_;
  LocalDay day_{};
  WallTime from_{};  // an empty stretch at first
  WallTime to_{};
};

void flag(MonthReading& month, MeterFlag flag) {
  if (std::find(month.flags.begin(), month.flags.end(), flag) == month.flags.end()) month.flags.push_back(flag);
}

}  // namespace

std::string_view to_text(MeterFlag flag) {
  constexpr std::array<std::string_view, 6> kNames{"wrapped", "reset",       "board-replaced",
                                                   "jumped",  "apportioned", "incomplete"};
  return kNames.at(static_cast<std::size_t>(flag));
}

MeteredUse unwrap(const CounterHistory& history, WallTime until, double fastest) {
  MeteredUse use;
  const auto& samples = history.samples;
  if (samples.empty()) return use;
  use.covered = Span{samples.front().at, std::max(until, samples.back().at)};
  for (std::size_t i = 1; i < samples.size(); ++i) {
    const CounterSample& before = samples[i - 1];
    const CounterSample& now = samples[i];
    const double possible = fastest * minutes(now.at - before.at) + 1000;
    const bool blind = reaches_into(history.unobserved, before.at, now.at);
    const bool new_board = std::any_of(history.board_changes.begin(), history.board_changes.end(),
                                       [&](WallTime at) { return before.at < at && at <= now.at; });
    const std::uint64_t rise = (kWrap + now.count - before.count) % kWrap;
    UseStep step{before.at, now.at, static_cast<double>(rise), blind || now.thinned};
    const auto met = [&](MeterFlag flag) {
      use.events.push_back({now.at, flag, blind ? std::optional(before.at) : std::nullopt});
    };
    if (new_board || (now.count < before.count && step.impressions > possible)) {
      met(new_board ? MeterFlag::board_replaced : MeterFlag::reset);
      // A counter that starts again counts from zero; a new board may bring any count along, and so may a memory that
      // was put back to what it was some time ago: then it is not far below.
      const bool from_zero = !new_board && now.count <= possible && now.count < before.count / 2;
      step.impressions = from_zero ? now.count : 0;
    } else if (step.impressions > possible) {
      met(MeterFlag::jumped);
      step.impressions = 0;
    } else if (now.count < before.count) {
      met(MeterFlag::wrapped);
    }
    if (blind && step.impressions > 0) met(MeterFlag::apportioned);
    use.steps.push_back(step);
  }
  if (samples.back().at < until) use.steps.push_back({samples.back().at, until, 0, false});
  return use;
}

double CountWalk::until(WallTime instant) {
  const auto& steps = use_.steps;
  for (; next_ < steps.size() && steps[next_].to <= instant; ++next_) sum_ += steps[next_].impressions;
  if (next_ == steps.size() || !steps[next_].spread || steps[next_].from >= instant) return sum_;
  const UseStep& step = steps[next_];
  return sum_ + step.impressions * static_cast<double>((instant - step.from).count()) /
                    static_cast<double>((step.to - step.from).count());
}

double counted_until(const MeteredUse& use, WallTime instant) { return CountWalk(use).until(instant); }

std::vector<DayUse> by_day(const MeteredUse& use, const Calendar& calendar) {
  std::vector<DayUse> days;
  if (!use.covered) return days;
  const LocalDay first = calendar.day_of(use.covered->from);
  const LocalDay last = calendar.day_of(use.covered->to);
  for (LocalDay day = first; day <= last; day += std::chrono::days{1}) days.push_back({day, 0, false});
  DayFinder finder(calendar);
  for (const UseStep& step : use.steps) {
    if (step.impressions == 0 && !step.spread) continue;
    const bool estimate = step.spread && step.to - step.from > kShort;
    lay_out(
        step, [&](WallTime at) { return finder.of(at); },
        [&](LocalDay day) { return calendar.start_of(day + std::chrono::days{1}); },
        [&](LocalDay day, double amount) {
          DayUse& entry = days[static_cast<std::size_t>((day - first).count())];
          entry.impressions += amount;
          entry.estimated = entry.estimated || estimate;
        });
  }
  return days;
}

std::vector<MonthReading> by_month(const MeteredUse& use, const Calendar& calendar) {
  std::vector<MonthReading> months;
  if (!use.covered) return months;
  const year_month first = calendar.month_of(use.covered->from);
  const year_month last = calendar.month_of(use.covered->to);
  for (year_month month = first; month <= last; month += std::chrono::months{1}) months.push_back({month, 0, {}});
  const auto entry = [&](year_month month) -> MonthReading& {
    return months[static_cast<std::size_t>((month - first).count())];
  };
  for (const UseStep& step : use.steps) {
    lay_out(
        step, [&](WallTime at) { return calendar.month_of(at); },
        [&](year_month month) { return calendar.start_of(month + std::chrono::months{1}); },
        [&](year_month month, double amount) {
          entry(month).impressions += amount;
          if (step.spread && amount > 0 && calendar.month_of(step.from) != calendar.month_of(step.to)) {
            flag(entry(month), MeterFlag::apportioned);
          }
        });
  }
  for (const MeterEvent& event : use.events) {
    if (event.flag == MeterFlag::apportioned) continue;
    const auto last_met = calendar.month_of(event.at);
    for (auto month = event.since ? calendar.month_of(*event.since) : last_met; month <= last_met;
         month += std::chrono::months{1})
      flag(entry(month), event.flag);
  }
  if (use.covered->from > calendar.start_of(first)) flag(months.front(), MeterFlag::incomplete);
  if (use.covered->to < calendar.start_of(last + std::chrono::months{1})) flag(months.back(), MeterFlag::incomplete);
  return months;
}

}  // namespace frisket::upkeep
