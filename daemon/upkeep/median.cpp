#include "daemon/upkeep/median.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace frisket::upkeep {

double quantile(std::vector<double> values, double p) {
  const double place = p * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(std::floor(place));
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(below);
  std::nth_element(values.begin(), at, values.end());
  const double low = *at;
  const double share = place - static_cast<double>(below);
  if (share == 0) return low;
  return low + share * (*std::min_element(at + 1, values.end()) - low);
}

double median(std::vector<double> values) { return quantile(std::move(values), 0.5); }

}  // namespace frisket::upkeep
