// What was observed of a complaint, as the store keeps it. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/upkeep/complaint.h"
#include "probes/model/result.h"

namespace frisket::store {

std::string kept_text(const upkeep::Known& known);

// invalid: the text is none that kept_text() gave.
model::Result<upkeep::Known> known_from(std::string_view text);

}  // namespace frisket::store
