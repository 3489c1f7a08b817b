// What one alert row finds: a keyword at a subunit, as precisely as the row allows.
//
// RFC 3805 asks agents to use the generic codes (3..38), so that the group and its
// index say what is empty or jammed. Here code, group, index and the device's own rows
// become the specific keyword at the right subunit. Where two keywords of the standards say
// the same thing, one is used throughout: cover-open for door-open, developer-low and
// developer-empty for the marker-developer- pair. Pure; any thread.
#pragma once

#include <optional>
#include <string>

#include "probes/model/device.h"

namespace frisket::incidents {

// How far a supply is gone. In rising order. For a receptacle: how full it is.
enum class Stage { fine, low, nearly_empty, empty };

// The keyword for a supply of that kind at that stage (not fine). A null supply, or one of a
// kind without a word of its own, is a "marker-supply".
std::string supply_keyword(const model::Supply* supply, Stage stage);

// The keyword for a supply of that kind that is not there.
std::string supply_missing_keyword(const model::Supply* supply);

struct Finding {
  std::string keyword;
  model::Subunit subunit;
  friend bool operator==(const Finding&, const Finding&) = default;
};

// Nothing for a row that tells of an event.
std::optional<Finding> finding_of(const model::Alert& alert, const model::DeviceSnapshot& snapshot);

const model::Supply* find_supply(const model::DeviceSnapshot& snapshot, std::int32_t index);
const model::Input* find_input(const model::DeviceSnapshot& snapshot, std::int32_t index);
const model::Output* find_output(const model::DeviceSnapshot& snapshot, std::int32_t index);
const model::Cover* find_cover(const model::DeviceSnapshot& snapshot, std::int32_t index);

}  // namespace frisket::incidents
