// Whether a queue fits the device that it prints on, and the other queues there.
//
// Free texts are compared, so each rule speaks only where both sides say something definite. Common practice, no
// source, but for the fields themselves (RFC 8011 section 5.4, IEEE 1284 device ids). Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "probes/model/device.h"
#include "probes/model/queue.h"

namespace frisket::incidents {

// Why the queue's driver is not one for this device; nothing if it may be.
// - Its IEEE 1284 id names another model.
// - Its make-and-model names a model by a word with a digit in it, and none of these words is the device's.
// - It speaks PostScript or PCL, and the device's interpreters (prtInterpreterLangFamily) have no such language.
std::optional<std::string> driver_mismatch(const model::QueueSnapshot& queue, const model::DeviceSnapshot& device);

// Why the two texts name different places; nothing if they may be the same. "Herbarium, first floor" and "first floor"
// are.
std::optional<std::string> location_mismatch(std::string_view queue_location, std::string_view other);

// Why two queues of one device contradict each other; nothing if they do not.
std::optional<std::string> disagreement(const model::QueueSnapshot& one, const model::QueueSnapshot& other);

}  // namespace frisket::incidents
