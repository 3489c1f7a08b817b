// What a hook's program finds in its environment: a fixed list, nothing inherited. Pure.
#pragma once

#include <string>
#include <vector>

#include "daemon/incidents/notice.h"

namespace frisket::hooks {

// What every program finds, whoever starts it: PATH and LANG.
std::vector<std::string> base_environment();

// "NAME=value" for PATH, LANG and a few FRISKET_* that a script may want to branch on before it
// reads the notice. Values are ASCII letters, digits, '.', '-', '_' and ':'; a variable whose
// value would have anything else in it is left out. A digest has FRISKET_NOTICE=digest, and nothing
// about an incident.
std::vector<std::string> environment_for(const std::vector<incidents::Notice>& notices);

}  // namespace frisket::hooks
