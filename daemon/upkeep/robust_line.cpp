#include "daemon/upkeep/robust_line.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "daemon/upkeep/distributions.h"
#include "daemon/upkeep/median.h"

namespace frisket::upkeep {
namespace {

bool all_finite(std::span<const Point> points) {
  return std::all_of(points.begin(), points.end(),
                     [](const Point& point) { return std::isfinite(point.x) && std::isfinite(point.y); });
}

// Variance of Kendall's S for n values with ties: (n(n-1)(2n+5) - sum t(t-1)(2t+5)) / 18.
double kendall_variance(std::span<const Point> points) {
  const auto term = [](double n) { return n * (n - 1) * (2 * n + 5); };
  std::vector<double> values;
  values.reserve(points.size());
  for (const Point& point : points) values.push_back(point.y);
  std::sort(values.begin(), values.end());
  double variance = term(static_cast<double>(values.size()));
  for (auto from = values.begin(); from != values.end();) {
    const auto to = std::upper_bound(from, values.end(), *from);
    variance -= term(static_cast<double>(to - from));
    from = to;
  }
  return variance / 18;
}

double nth(std::vector<double>& values, double place) {
  const auto last = static_cast<double>(values.size() - 1);
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(std::clamp(place, 0.0, last));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace

std::optional<RobustLine> theil_sen(std::span<const Point> points, double confidence) {
  if (!all_finite(points)) return std::nullopt;
  std::vector<double> slopes;
  slopes.reserve(points.size() * (points.size() + 1) / 2);
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = i + 1; j < points.size(); ++j) {
      const double run = points[j].x - points[i].x;
      if (run != 0) slopes.push_back((points[j].y - points[i].y) / run);
    }
  }
  if (slopes.empty()) return std::nullopt;

  RobustLine line;
  line.points = points.size();
  const bool limits = confidence > 0;
  line.slope = limits ? median(slopes) : median(std::move(slopes));
  std::vector<double> offsets;
  offsets.reserve(points.size());
  for (const Point& point : points) offsets.push_back(point.y - line.slope * point.x);
  line.intercept = median(std::move(offsets));

  line.slope_low = line.slope_high = line.slope;
  if (!limits) return line;
  // Sen 1968: the ((N - C)/2)-th smallest slope and the ((N + C)/2 + 1)-th, counted from one.
  const double reach = normal_quantile(0.5 + confidence / 2) * std::sqrt(kendall_variance(points));
  const auto pairs = static_cast<double>(slopes.size());
  line.slope_low = nth(slopes, std::round((pairs - reach) / 2) - 1);
  line.slope_high = nth(slopes, std::round((pairs + reach) / 2));
  return line;
}

std::optional<LeastSquaresLine> least_squares(std::span<const Point> points) {
  if (points.size() < 2 || !all_finite(points)) return std::nullopt;
  const auto n = static_cast<double>(points.size());
  double mean_x = 0, mean_y = 0;
  for (const Point& point : points) {
    mean_x += point.x / n;
    mean_y += point.y / n;
  }
  double xx = 0, xy = 0, yy = 0;  // centred sums: the plain ones lose half the digits
  for (const Point& point : points) {
    xx += (point.x - mean_x) * (point.x - mean_x);
    xy += (point.x - mean_x) * (point.y - mean_y);
    yy += (point.y - mean_y) * (point.y - mean_y);
  }
  if (xx == 0) return std::nullopt;
  LeastSquaresLine line;
  line.points = points.size();
  line.slope = xy / xx;
  line.intercept = mean_y - line.slope * mean_x;
  double residual = 0;
  for (const Point& point : points) {
    const double miss = point.y - line.intercept - line.slope * point.x;
    residual += miss * miss;
  }
  line.r_squared = yy == 0 ? 1 : 1 - residual / yy;
  if (points.size() > 2) {
    line.residual_deviation = std::sqrt(residual / (n - 2));
    line.slope_deviation = line.residual_deviation / std::sqrt(xx);
    line.intercept_deviation = line.residual_deviation * std::sqrt(1 / n + mean_x * mean_x / xx);
  }
  return line;
}

}  // namespace frisket::upkeep
