// Stretches of time, put together. Pure; any thread.
#pragma once

#include <vector>

#include "daemon/upkeep/history.h"

namespace frisket::upkeep {

inline constexpr Span kAllTime{WallTime::min(), WallTime::max()};

// Sorted, clipped to the window, joined where they touch; without empty ones.
std::vector<Span> joined(std::vector<Span> spans, Span window);

}  // namespace frisket::upkeep
