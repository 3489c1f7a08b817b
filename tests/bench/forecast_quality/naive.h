// The yardstick: the straight line through the reported level of the last 30 days.
#pragma once

#include <optional>

#include "daemon/upkeep/history.h"

namespace bench {

// Least squares through one reported level per day, from the last 30 days but, to be fair to it,
// from the latest replacement on. Days until the line is at zero; nothing where it does not
// fall or has fewer than three days.
std::optional<double> naive_days_left(const frisket::upkeep::SupplyHistory& history, frisket::model::WallTime now);

}  // namespace bench
