// One week of a device's changes, packed into octets. Pure; any thread.
//
// Times and values are differences to those before, in variable-length integers: a count takes 4 octets or so, a level
// 5. So 10,000 devices and two years fit into less than 2 GiB (docs/store.md).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/upkeep/change.h"
#include "probes/model/result.h"

namespace frisket::store {

// `changes` in order of time, to the second; `week` as in upkeep/weeks.h.
std::string kept_octets(const upkeep::Changes& changes, std::int64_t week);

// invalid: the octets are none that kept_octets() gave.
model::Result<upkeep::Changes> changes_from(std::string_view octets, std::int64_t week);

// The same at the end of `changes`, which stay as they are when it fails.
std::optional<model::Error> append_changes(upkeep::Changes& changes, std::string_view octets, std::int64_t week);

}  // namespace frisket::store
