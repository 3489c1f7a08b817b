// Order statistics of a handful of numbers. Pure.
#pragma once

#include <vector>

namespace frisket::upkeep {

// R's type 7, the usual one: linear between order statistics. `values` not empty, 0 <= p <= 1.
double quantile(std::vector<double> values, double p);

// Mean of the two middle ones for an even number. `values` not empty.
double median(std::vector<double> values);

}  // namespace frisket::upkeep
