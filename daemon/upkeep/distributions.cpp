#include "daemon/upkeep/distributions.h"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/gamma.hpp>
#include <boost/math/distributions/negative_binomial.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/poisson.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace frisket::upkeep {
namespace {

namespace bm = boost::math;

// Smallest whole k >= 0 with cdf(k) >= p: doubling, then halving.
template <class Cdf>
std::int64_t smallest(double p, Cdf cdf) {
  std::int64_t high = 1;
  while (cdf(high) < p) high *= 2;
  std::int64_t low = -1;  // cdf(-1) = 0 < p
  while (high - low > 1) {
    const std::int64_t middle = low + (high - low) / 2;
    (cdf(middle) >= p ? high : low) = middle;
  }
  return high;
}

}  // namespace

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

double normal_quantile(double p) { return bm::quantile(bm::normal_distribution<>(), p); }

double students_t_quantile(double p, double freedom) { return bm::quantile(bm::students_t_distribution<>(freedom), p); }

double chi_squared_quantile(double p, double freedom) {
  return bm::quantile(bm::chi_squared_distribution<>(freedom), p);
}

double gamma_cdf(double x, double shape, double scale) { return bm::cdf(bm::gamma_distribution<>(shape, scale), x); }

double gamma_quantile(double p, double shape, double scale) {
  return bm::quantile(bm::gamma_distribution<>(shape, scale), p);
}

double binomial_pmf(std::int64_t k, std::int64_t n, double p) {
  return bm::pdf(bm::binomial_distribution<>(static_cast<double>(n), p), static_cast<double>(k));
}

double binomial_cdf(std::int64_t k, std::int64_t n, double p) {
  return bm::cdf(bm::binomial_distribution<>(static_cast<double>(n), p), static_cast<double>(k));
}

double poisson_cdf(std::int64_t k, double mean) {
  return k < 0 ? 0.0 : bm::cdf(bm::poisson_distribution<>(mean), static_cast<double>(k));
}

std::int64_t count_quantile(double p, double mean, double variance) {
  if (mean <= 0) return 0;
  if (variance <= mean * (1 + 1e-9)) return smallest(p, [&](std::int64_t k) { return poisson_cdf(k, mean); });
  const double size = mean * mean / (variance - mean);
  const bm::negative_binomial_distribution<> counts(size, size / (size + mean));
  return smallest(p, [&](std::int64_t k) { return bm::cdf(counts, static_cast<double>(k)); });
}

std::optional<double> yield_bound(std::span<const double> yields) {
  if (yields.size() < 2) return std::nullopt;
  const auto count = static_cast<double>(yields.size());
  double mean = 0;
  for (const double yield : yields) mean += yield / count;
  double squares = 0;
  for (const double yield : yields) squares += (yield - mean) * (yield - mean);
  return mean - students_t_quantile(0.90, count - 1) * std::sqrt(squares / (count - 1) / count);
}

}  // namespace frisket::upkeep
