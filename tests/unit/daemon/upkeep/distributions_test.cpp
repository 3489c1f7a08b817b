#include "daemon/upkeep/distributions.h"

#include <catch2/catch.hpp>

#include "daemon/upkeep/median.h"

using namespace frisket::upkeep;

TEST_CASE("quantiles agree with the published tables") {
  // Standard normal, one-sided, and Student's t with 8 degrees of freedom (textbook 1.397).
  CHECK(normal_quantile(0.95) == Approx(1.644854).margin(1e-6));
  CHECK(normal_quantile(0.98) == Approx(2.053749).margin(1e-6));
  CHECK(normal_cdf(1.959964) == Approx(0.975).margin(1e-7));
  CHECK(students_t_quantile(0.90, 8) == Approx(1.39681530974387).epsilon(1e-12));
}

TEST_CASE("distributions agree with R 4.2.2") {
  // pgamma(2, 3.5, scale = .7), qgamma(.9, 3.5, scale = .7)
  CHECK(gamma_cdf(2, 3.5, 0.7) == Approx(0.426521675437759).epsilon(1e-12));
  CHECK(gamma_quantile(0.9, 3.5, 0.7) == Approx(4.20596281832318).epsilon(1e-12));
  // qnbinom(c(.1, .5, .9, .99), size = 100 / 30, mu = 10)
  CHECK(count_quantile(0.1, 10, 40) == 3);
  CHECK(count_quantile(0.5, 10, 40) == 9);
  CHECK(count_quantile(0.9, 10, 40) == 18);
  CHECK(count_quantile(0.99, 10, 40) == 30);
  // qpois(c(.1, .5, .9), 10); a variance under the mean counts as Poisson
  CHECK(count_quantile(0.1, 10, 10) == 6);
  CHECK(count_quantile(0.5, 10, 4) == 10);
  CHECK(count_quantile(0.9, 10, 10) == 14);
  CHECK(count_quantile(0.9, 0, 3) == 0);
}

TEST_CASE("sample quantiles are R's type 7") {
  // quantile(c(3.1, 0.2, 8, 5, 5, 1.7, 9.9), c(.1, .25, .5, .9))
  const std::vector<double> values{3.1, 0.2, 8, 5, 5, 1.7, 9.9};
  CHECK(quantile(values, 0.1) == Approx(1.1));
  CHECK(quantile(values, 0.25) == Approx(2.4));
  CHECK(quantile(values, 0.5) == 5);
  CHECK(quantile(values, 0.9) == Approx(8.76));
  CHECK(quantile(values, 1) == 9.9);
  CHECK(median({4}) == 4);
  CHECK(median({1, 2, 3, 10}) == 2.5);
}

TEST_CASE("a declared yield is at most the lower 90 % confidence bound of the mean") {
  // ISO/IEC 19752's rule from memory (the standard was not read). No published example is at hand: these nine yields
  // are made up, and the bound was worked out apart from this code, with t(0.90, 8) = 1.3968 from the table.
  const std::vector<double> yields{2510, 2468, 2602, 2555, 2490, 2531, 2577, 2449, 2520};
  REQUIRE(yield_bound(yields));
  CHECK(*yield_bound(yields) == Approx(2499.16).margin(0.005));
  // Two cartridges, one degree of freedom: t is Cauchy's, tan(0.4 pi) = 3.0777; s / sqrt(2) = 50.
  CHECK(*yield_bound(std::vector<double>{1000, 1100}) == Approx(1050 - 3.0777 * 50).margin(0.005));
  CHECK(*yield_bound(std::vector<double>{2500, 2500, 2500}) == 2500);
  CHECK_FALSE(yield_bound(std::vector<double>{2500}));
  CHECK_FALSE(yield_bound({}));
}
