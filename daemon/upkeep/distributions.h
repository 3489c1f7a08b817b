// The few distribution functions this layer needs, from Boost.Math.
//
// One narrow file, because the library's headers are heavy and because its domain errors are
// exceptions: here, an argument outside the stated domain is a bug in the caller. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

namespace frisket::upkeep {

double normal_cdf(double z);
double normal_quantile(double p);                             // 0 < p < 1
double students_t_quantile(double p, double freedom);         // 0 < p < 1, freedom > 0
double chi_squared_quantile(double p, double freedom);        // 0 < p < 1, freedom > 0
double gamma_cdf(double x, double shape, double scale);       // x >= 0, shape and scale > 0
double gamma_quantile(double p, double shape, double scale);  // 0 < p < 1
double binomial_pmf(std::int64_t k, std::int64_t n, double p);
double binomial_cdf(std::int64_t k, std::int64_t n, double p);  // 0 <= k <= n
double poisson_cdf(std::int64_t k, double mean);                // mean > 0
// Number of events with this mean and variance: Poisson where variance <= mean, otherwise
// negative binomial. Smallest k with P(X <= k) >= p.
std::int64_t count_quantile(double p, double mean, double variance);  // 0 < p < 1, mean >= 0
// The lower one-sided 90 % confidence bound of the mean of tested cartridges, in the unit of `yields`
// (impressions): what a yield declared after ISO/IEC 19752 (19798, 24711) may not exceed. mean - t(0.90, n - 1) s /
// sqrt(n); the clause is from memory. Nothing with fewer than two; not cut at 0.
std::optional<double> yield_bound(std::span<const double> yields);

}  // namespace frisket::upkeep
