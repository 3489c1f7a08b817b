// What the verb `round` prints. As views.h. Pure; any thread.
#pragma once

#include <string>

#include "daemon/client/round_answers.h"
#include "daemon/client/views.h"

namespace frisket::client {

// What to carry first, then the stops as served, for each job its cautions before its steps; what can wait at the end.
// Boxes to tick, and colour nowhere needed: it can be printed as it is.
std::string round_screen(const Round& round, const Screen& screen);
std::string round_lines(const Round& round);

}  // namespace frisket::client
