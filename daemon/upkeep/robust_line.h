// Straight lines through points: one that shrugs off wrong points, and the classical one.
//
// The forecasts use the Theil-Sen line: a level that jumps or a counter that was misread
// moves the median of the slopes little (up to 29 % of the points may be wrong). Least
// squares is here as reference and for points that are known to be good. Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace frisket::upkeep {

struct Point {
  double x = 0;
  double y = 0;
};

// Theil 1950, Sen 1968. The slope is the median of the slopes of all pairs with different x;
// the intercept is the median of y - slope * x.
struct RobustLine {
  double slope = 0;
  double intercept = 0;
  // Sen's limits: order statistics of the pairs' slopes at the wanted confidence, from the normal
  // approximation of Kendall's S with its correction for ties in y. With few points they
  // are the extreme slopes and cover less than asked.
  double slope_low = 0;
  double slope_high = 0;
  std::size_t points = 0;
};

// Nothing with fewer than two different x, or a number that is not finite. Needs
// n * (n - 1) / 2 doubles: the caller thins beyond a few hundred points. With a confidence of 0 no limits are worked
// out, which are most of the work: they are then the slope.
std::optional<RobustLine> theil_sen(std::span<const Point> points, double confidence = 0.95);

struct LeastSquaresLine {
  double slope = 0;
  double intercept = 0;
  double slope_deviation = 0;  // standard error; with two points these three are 0
  double intercept_deviation = 0;
  double residual_deviation = 0;
  double r_squared = 0;  // 1 where all y are equal
  std::size_t points = 0;
};

std::optional<LeastSquaresLine> least_squares(std::span<const Point> points);

}  // namespace frisket::upkeep
