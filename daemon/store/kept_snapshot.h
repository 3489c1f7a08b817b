// What a device said of itself, as the store keeps it for replay. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

#include "probes/model/device.h"
#include "probes/model/result.h"

namespace frisket::store {

std::string kept_text(const model::DeviceSnapshot& snapshot);

// invalid: the text is none that kept_text() gave.
model::Result<model::DeviceSnapshot> snapshot_from(std::string_view text);

}  // namespace frisket::store
