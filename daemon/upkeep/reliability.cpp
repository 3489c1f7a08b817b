#include "daemon/upkeep/reliability.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "daemon/upkeep/distributions.h"
#include "daemon/upkeep/spans.h"

namespace frisket::upkeep {
namespace {

Milliseconds total(const std::vector<Span>& spans) {
  Milliseconds sum{0};
  for (const Span& span : spans) sum += span.to - span.from;
  return sum;
}

// Time in both; each list is sorted and free of overlap.
Milliseconds shared(const std::vector<Span>& a, const std::vector<Span>& b) {
  Milliseconds sum{0};
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    const WallTime from = std::max(a[i].from, b[j].from);
    const WallTime to = std::min(a[i].to, b[j].to);
    if (from < to) sum += to - from;
    if (a[i].to < b[j].to) {
      ++i;
    } else {
      ++j;
    }
  }
  return sum;
}

// Largest k in [from, to) with `holds`, which is taken to hold at `from`, not at `to`, and to
// change once between.
template <class Holds>
std::int64_t last_where(std::int64_t from, std::int64_t to, Holds holds) {
  while (to - from > 1) {
    const std::int64_t middle = from + (to - from) / 2;
    (holds(middle) ? from : to) = middle;
  }
  return from;
}

struct Repair {
  Milliseconds length{0};
  bool finished = false;
};

// Smallest time at which the Kaplan-Meier survival is at or under one half.
std::optional<Milliseconds> median_of(std::vector<Repair> repairs) {
  std::sort(repairs.begin(), repairs.end(), [](const Repair& a, const Repair& b) {
    return a.length != b.length ? a.length < b.length : a.finished > b.finished;
  });
  double survival = 1;
  auto at_risk = static_cast<double>(repairs.size());
  for (const Repair& repair : repairs) {
    if (repair.finished) survival *= 1 - 1 / at_risk;
    if (survival <= 0.5 + 1e-12) return repair.length;
    --at_risk;
  }
  return std::nullopt;
}

Milliseconds scaled(Milliseconds time, double by) {
  return Milliseconds{static_cast<std::int64_t>(std::llround(static_cast<double>(time.count()) * by))};
}

}  // namespace

Limits garwood(std::int64_t events, double confidence) {
  const double alpha = 1 - confidence;
  const auto k = static_cast<double>(events);
  return {events == 0 ? 0.0 : chi_squared_quantile(alpha / 2, 2 * k) / 2,
          chi_squared_quantile(1 - alpha / 2, 2 * k + 2) / 2};
}

std::optional<Rate> rate(std::int64_t events, double exposure, double per, double confidence) {
  if (!(exposure > 0)) return std::nullopt;
  const Limits limits = garwood(events, confidence);
  const double scale = per / exposure;
  return Rate{events, exposure, per, static_cast<double>(events) * scale, {limits.low * scale, limits.high * scale}};
}

double compare_rates(std::int64_t events, double exposure, std::int64_t other_events, double other_exposure) {
  const std::int64_t all = events + other_events;
  if (all == 0 || !(exposure > 0) || !(other_exposure > 0)) return 1;
  const double share = exposure / (exposure + other_exposure);
  // 1e-7: R's tolerance for "as likely as the seen one" between rounded densities.
  const double seen = binomial_pmf(events, all, share) * (1 + 1e-7);
  const auto mode = std::min(all, static_cast<std::int64_t>(std::floor(static_cast<double>(all + 1) * share)));
  const auto unlikely = [&](std::int64_t k) { return binomial_pmf(k, all, share) <= seen; };
  if (binomial_pmf(mode, all, share) <= seen) return 1;
  // The density rises to its mode and falls from there, so each tail is found by halving.
  const std::int64_t left = last_where(-1, mode, unlikely);
  const std::int64_t right = last_where(mode, all + 1, [&](std::int64_t k) { return !unlikely(k); }) + 1;
  double p = 0;
  if (left >= 0) p += binomial_cdf(left, all, share);
  if (right <= all) p += binomial_cdf(all - right, all, 1 - share);
  return std::min(p, 1.0);
}

std::vector<double> holm(std::span<const double> p_values) {
  std::vector<std::size_t> order(p_values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return p_values[a] < p_values[b]; });
  std::vector<double> adjusted(p_values.size());
  double highest = 0;
  for (std::size_t rank = 0; rank < order.size(); ++rank) {
    const double factor = static_cast<double>(order.size() - rank);
    highest = std::max(highest, std::min(1.0, factor * p_values[order[rank]]));
    adjusted[order[rank]] = highest;
  }
  return adjusted;
}

std::vector<JamFigure> compare_jams(std::span<const JamRecord> records, double confidence) {
  std::int64_t jams = 0;
  double sheets = 0;
  for (const JamRecord& record : records) {
    if (!(record.sheets > 0)) continue;
    jams += record.jams;
    sheets += record.sheets;
  }
  std::vector<JamFigure> figures;
  std::vector<double> p_values;
  for (const JamRecord& record : records) {
    const auto own = rate(record.jams, record.sheets, 10000, confidence);
    if (!own) continue;
    const std::int64_t rest_jams = jams - record.jams;
    const double rest_sheets = sheets - record.sheets;
    JamFigure figure;
    figure.name = record.name;
    figure.rate = *own;
    if (rest_jams > 0 && rest_sheets > 0) {
      figure.ratio =
          (static_cast<double>(record.jams) / record.sheets) / (static_cast<double>(rest_jams) / rest_sheets);
    }
    p_values.push_back(compare_rates(record.jams, record.sheets, rest_jams, rest_sheets));
    figures.push_back(std::move(figure));
  }
  const std::vector<double> adjusted = holm(p_values);
  for (std::size_t i = 0; i < figures.size(); ++i) {
    JamFigure& figure = figures[i];
    figure.p_adjusted = adjusted[i];
    if (figure.p_adjusted >= 0.05) continue;
    const double rest = (sheets - figure.rate.exposure) > 0
                            ? static_cast<double>(jams - figure.rate.events) / (sheets - figure.rate.exposure)
                            : 0;
    figure.worse = static_cast<double>(figure.rate.events) / figure.rate.exposure > rest;
    figure.better = !figure.worse;
  }
  return figures;
}

Availability availability(std::span<const IncidentSpan> incidents, std::span<const Span> unobserved, Span window) {
  std::vector<Span> down;
  for (const IncidentSpan& incident : incidents) {
    if (incident.down) down.push_back({incident.from, incident.to.value_or(window.to)});
  }
  const auto blind = joined({unobserved.begin(), unobserved.end()}, window);
  const auto outages = joined(std::move(down), window);
  Availability result;
  result.observed = observed_time(unobserved, window);
  result.down = total(outages) - shared(outages, blind);
  if (result.observed > Milliseconds{0}) {
    result.share = 1 - static_cast<double>(result.down.count()) / static_cast<double>(result.observed.count());
  }
  return result;
}

Milliseconds observed_time(std::span<const Span> unobserved, Span window) {
  if (!(window.from < window.to)) return Milliseconds{0};
  return window.to - window.from - total(joined({unobserved.begin(), unobserved.end()}, window));
}

RepairFigures repair_figures(std::span<const DeviceIncidents> of_one_kind, Milliseconds observed, Span window,
                             double confidence) {
  RepairFigures figures;
  std::vector<Repair> repairs;
  Milliseconds good = observed;
  Milliseconds repair_time{0};
  std::int64_t finished = 0;
  for (const auto& device : of_one_kind) {
    std::vector<Span> under_repair;
    for (const IncidentSpan& incident : device.incidents) {
      under_repair.push_back({incident.from, incident.to.value_or(window.to)});
      if (incident.from < window.from || incident.from >= window.to) continue;
      const bool over = incident.to && *incident.to <= window.to;
      const Milliseconds length = (over ? *incident.to : window.to) - incident.from;
      repairs.push_back({length, over});
      repair_time += length;
      finished += over ? 1 : 0;
    }
    const auto bad = joined(std::move(under_repair), window);
    good -= total(bad) - shared(bad, joined({device.unobserved.begin(), device.unobserved.end()}, window));
  }
  figures.incidents = static_cast<std::int64_t>(repairs.size());
  figures.open = figures.incidents - finished;
  if (!(window.from < window.to)) return figures;

  const Limits limits = garwood(figures.incidents, confidence);
  figures.between_low = scaled(good, 1 / limits.high);
  if (figures.incidents > 0 && good > Milliseconds{0}) {
    figures.mean_between = scaled(good, 1 / static_cast<double>(figures.incidents));
    figures.between_high = scaled(good, 1 / limits.low);
  }
  if (finished > 0) figures.mean_repair = scaled(repair_time, 1 / static_cast<double>(finished));
  figures.median_repair = median_of(std::move(repairs));
  return figures;
}

}  // namespace frisket::upkeep
