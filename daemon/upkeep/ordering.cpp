#include "daemon/upkeep/ordering.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "daemon/upkeep/distributions.h"

namespace frisket::upkeep {
namespace {

constexpr double kEighth = 1.281552;  // normal quantile of 0.9: p10 to p90 is twice this

// Days until the supply is used up, as a log-normal law through p50 and the wider of its halves.
struct Wait {
  double log_median = 0;
  double deviation = 0.5;

  double within(double days) const { return days <= 0 ? 0 : normal_cdf((std::log(days) - log_median) / deviation); }
};

std::optional<Wait> wait_of(const DepletionForecast& forecast, WallTime now) {
  if (forecast.no_date || !forecast.p10) return std::nullopt;
  constexpr double kLeast = 0.02;  // days
  const double early = std::max(kLeast, days_between(now, *forecast.p10));
  const double middle = forecast.p50 ? std::max(kLeast, days_between(now, *forecast.p50)) : 2.0 * kHorizonDays;
  Wait wait;
  wait.log_median = std::log(middle);
  // What matters for stock is the early side.
  wait.deviation = std::max(0.02, (std::log(middle) - std::log(early)) / kEighth);
  return wait;
}

std::string plural(int count, const char* noun) { return std::to_string(count) + " " + noun + (count == 1 ? "" : "s"); }

std::string one_decimal(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", value);
  return text;
}

// "95", "99.5".
std::string percent_text(double share) {
  auto text = one_decimal(100 * share);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

int in_packs(int count, int pack) { return pack <= 1 ? count : (count + pack - 1) / pack * pack; }

// The latest day on which an order still comes in time, for the stock that there is.
std::optional<WallTime> latest_order(const PartDemand& entry, WallTime now) {
  const int position = entry.stock.on_shelf + entry.stock.on_order;
  const auto enough_for = [&](int day) {
    return demand_within(entry.uses, now, day).quantile(entry.part.supplier.service_level) <= position;
  };
  if (enough_for(kHorizonDays)) return std::nullopt;
  int low = 0, high = kHorizonDays;  // enough for `low` days, not for `high`
  if (!enough_for(1)) return now;
  low = 1;
  while (high - low > 1) {
    const int middle = (low + high) / 2;
    (enough_for(middle) ? low : high) = middle;
  }
  return std::max(now, now + std::chrono::days{low - entry.part.supplier.lead_days});
}

void name_devices(const PartDemand& entry, WallTime now, double horizon, OrderLine& line) {
  std::vector<std::pair<double, std::string>> due;
  for (const PartUse& use : entry.uses) {
    const auto wait = wait_of(use.forecast, now);
    if (!wait) {
      if (use.forecast.no_date) line.undated.push_back(use.device);
    } else if (wait->within(horizon) >= 0.1) {
      due.emplace_back(wait->log_median, use.device);
    }
  }
  std::stable_sort(due.begin(), due.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (auto& [when, device] : due) line.devices.push_back(std::move(device));
}

OrderLine line_of(const PartDemand& entry, WallTime now) {
  const Supplier& supplier = entry.part.supplier;
  OrderLine line;
  line.part = entry.part;
  line.stock = entry.stock;
  const double horizon = supplier.lead_days + supplier.review_days;
  line.until_next = demand_within(entry.uses, now, horizon);
  line.reorder_at = line.until_next.quantile(supplier.service_level) - 1;
  const int position = entry.stock.on_shelf + entry.stock.on_order;
  name_devices(entry, now, horizon, line);
  line.order_by = latest_order(entry, now);
  for (const PartUse& use : entry.uses)
    if (use.forecast.p50 && (!line.first_out || *use.forecast.p50 < *line.first_out)) line.first_out = use.forecast.p50;
  const std::string need = "in " + plural(static_cast<int>(horizon), "day") + " (delivery and next order) " +
                           one_decimal(line.until_next.mean) + " are expected to be wanted, at most " +
                           std::to_string(line.reorder_at + 1) + " with " + percent_text(supplier.service_level) +
                           " % certainty";
  const std::string have =
      std::to_string(entry.stock.on_shelf) + " on the shelf, " + std::to_string(entry.stock.on_order) + " on order";
  if (position > line.reorder_at) {
    line.why = need + "; " + have + ": enough";
    return line;
  }
  line.wanted = in_packs(line.reorder_at + 1 - position, entry.part.pack_size);
  line.why = need + "; " + have;
  if (entry.part.shelf_life_days) {
    // More than is used before it spoils is waste, pack or no pack; less than what is missing is worse.
    const Demand until_stale = demand_within(entry.uses, now, supplier.lead_days + *entry.part.shelf_life_days);
    const int usable = std::max(until_stale.quantile(0.5) - position, line.reorder_at + 1 - position);
    if (line.wanted > usable) {
      line.why +=
          "; a pack holds " + std::to_string(line.wanted - usable) + " more than are used within their shelf life";
    }
  }
  return line;
}

}  // namespace

int Demand::quantile(double p) const {
  if (mean <= 0) return 0;
  if (variance >= mean) return static_cast<int>(count_quantile(p, mean, variance));
  // Fewer surprises than Poisson (each device empties one at about a known time): normal, with
  // half a piece of continuity correction; never under what a single piece would need.
  const double high = mean + normal_quantile(p) * std::sqrt(std::max(variance, 0.0));
  return std::max(0, static_cast<int>(std::ceil(high - 0.5 - 1e-9)));
}

Demand demand_within(std::span<const PartUse> uses, WallTime now, double days) {
  Demand demand;
  for (const PartUse& use : uses) {
    const auto first = wait_of(use.forecast, now);
    if (!first) continue;
    double chance = first->within(days);
    double mean = chance;
    double second_moment = chance;  // sum over k of (2k - 1) P(at least k)
    // The next ones: the first wait and k whole cartridges, with the variances of the logarithms added
    // in days.
    if (use.whole_lasts && *use.whole_lasts > 0) {
      const double median = std::exp(first->log_median);
      double variance = std::pow(median * first->deviation, 2);
      double total = median;
      for (int k = 2; k <= 50; ++k) {
        total += *use.whole_lasts;
        variance += std::pow(*use.whole_lasts * use.whole_deviation, 2);
        chance = std::min(chance, normal_cdf((days - total) / std::sqrt(variance)));
        if (chance < 1e-4) break;
        mean += chance;
        second_moment += (2 * k - 1) * chance;
      }
    }
    demand.mean += mean;
    demand.variance += std::max(0.0, second_moment - mean * mean);
  }
  return demand;
}

std::vector<OrderLine> order_list(std::span<const PartDemand> parts, WallTime now) {
  std::vector<OrderLine> lines;
  for (const PartDemand& entry : parts) lines.push_back(line_of(entry, now));
  std::stable_sort(lines.begin(), lines.end(), [](const OrderLine& a, const OrderLine& b) {
    if ((a.wanted > 0) != (b.wanted > 0)) return a.wanted > 0;
    if (a.order_by.has_value() != b.order_by.has_value()) return a.order_by.has_value();
    return a.order_by && *a.order_by < *b.order_by;
  });
  return lines;
}

}  // namespace frisket::upkeep
