// Subunits in words for people: "Tray 2", "Front cover", "Black toner cartridge".
//
// The device's own names come first, since those are on its labels and its panel. Pure;
// any thread.
#pragma once

#include <string>

#include "probes/model/device.h"

namespace frisket::incidents {

// The longest place, in bytes of UTF-8.
inline constexpr std::size_t kMaxPlace = 64;

// Empty for the device as a whole. An index that the device has no row for, or 0, gives
// what kind of thing it is.
std::string place_of(const model::Subunit& subunit, const model::DeviceSnapshot& snapshot);

}  // namespace frisket::incidents
