// What the rules remember of a device, as the store keeps it. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/incidents/conditions.h"
#include "probes/model/result.h"

namespace frisket::store {

std::string kept_text(const incidents::DeviceMemory& memory);

// invalid: the text is none that kept_text() gave.
model::Result<incidents::DeviceMemory> memory_from(std::string_view text);

}  // namespace frisket::store
