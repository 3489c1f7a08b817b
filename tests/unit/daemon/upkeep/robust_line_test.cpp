#include "daemon/upkeep/robust_line.h"

#include <cmath>
#include <limits>
#include <vector>

#include "facts.h"

using namespace frisket::upkeep;

namespace {

std::vector<Point> points_of(const std::string& file) {
  std::vector<Point> points;
  for (const auto& row : facts::rows_of(file)) points.push_back({std::stod(row.at(0)), std::stod(row.at(1))});
  return points;
}

}  // namespace

TEST_CASE("least squares agrees with the certified values of NIST's Norris data to eleven digits") {
  const auto line = least_squares(points_of("norris.csv"));
  REQUIRE(line);
  CHECK(line->points == 36);
  CHECK(line->slope == Approx(1.00211681802045).epsilon(1e-12));
  CHECK(line->intercept == Approx(-0.262323073774029).epsilon(1e-11));
  CHECK(line->slope_deviation == Approx(0.000429796848199937).epsilon(1e-11));
  CHECK(line->intercept_deviation == Approx(0.232818234301152).epsilon(1e-11));
  CHECK(line->residual_deviation == Approx(0.884796396144373).epsilon(1e-11));
  CHECK(line->r_squared == Approx(0.999993745883712).epsilon(1e-12));
}

TEST_CASE("Theil-Sen agrees with R on the cars data") {
  const auto points = points_of("cars.csv");  // the R commands are in the file
  const auto line = theil_sen(points);
  REQUIRE(line);
  CHECK(line->slope == Approx(3.66666666666667).epsilon(1e-13));
  CHECK(line->intercept == Approx(-15.6666666666667).epsilon(1e-13));
  const auto reference = least_squares(points);
  REQUIRE(reference);
  CHECK(reference->slope == Approx(3.9324).margin(5e-5));  // lm(dist ~ speed)
  CHECK(reference->intercept == Approx(-17.5791).margin(5e-5));
}

TEST_CASE("Sen's limits agree with R, ties included, and wrong points do not tilt the line") {
  // R 4.2.2, by definition, x = 1:12: slope -5/3, intercept 99.8333333333333,
  // C = qnorm(.975) * sqrt(V) = 28.515062400661, limits s[round((66 - C)/2)], s[round((66 + C)/2 + 1)].
  const std::vector<double> y{98, 97, 95, 60, 91, 90, 90, 86, 85, 99, 81, 79};
  std::vector<Point> points;
  for (std::size_t i = 0; i < y.size(); ++i) points.push_back({static_cast<double>(i + 1), y[i]});
  const auto line = theil_sen(points);
  REQUIRE(line);
  CHECK(line->slope == Approx(-5.0 / 3).epsilon(1e-13));
  CHECK(line->intercept == Approx(99.8333333333333).epsilon(1e-13));
  CHECK(line->slope_low == Approx(-1.8));
  CHECK(line->slope_high == Approx(-1.0));
}

TEST_CASE("no line goes through nothing, one point, one x, or a number that is none") {
  const std::vector<Point> none;
  const std::vector<Point> one{{1, 2}};
  const std::vector<Point> upright{{1, 2}, {1, 3}, {1, 4}};
  const std::vector<Point> nan{{1, 2}, {2, std::numeric_limits<double>::quiet_NaN()}, {3, 1}};
  for (const auto& points : {none, one, upright, nan}) {
    CHECK_FALSE(theil_sen(points));
    CHECK_FALSE(least_squares(points));
  }
}

TEST_CASE("a line without limits is the same line") {
  const std::vector<Point> points{{0, 100}, {10, 91}, {25, 78}, {30, 70}, {41, 61}, {60, 37}};
  const auto whole = theil_sen(points);
  const auto bare = theil_sen(points, 0);
  REQUIRE(whole);
  REQUIRE(bare);
  CHECK(bare->slope == whole->slope);
  CHECK(bare->intercept == whole->intercept);
  CHECK(bare->slope_low == bare->slope);
  CHECK(bare->slope_high == bare->slope);
  CHECK(whole->slope_low < whole->slope);
}

TEST_CASE("two points, and points on one level, give the line that is there") {
  const std::vector<Point> two{{0, 100}, {50, 90}};
  const auto line = theil_sen(two);
  REQUIRE(line);
  CHECK(line->slope == Approx(-0.2));
  CHECK(line->intercept == Approx(100));
  const std::vector<Point> level{{0, 7}, {1, 7}, {2, 7}, {9, 7}};
  REQUIRE(theil_sen(level));
  CHECK(theil_sen(level)->slope == 0);
  CHECK(theil_sen(level)->slope_low == 0);
  CHECK(least_squares(level)->r_squared == 1);
}
