// The standard's names for enumerated values, as the description files use them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace frisket::simfleet {

// The number behind a label of a textual convention: ("PrtInputTypeTC", "sheetFeedManual") is 5.
std::optional<std::int32_t> label_value(std::string_view type, std::string_view name);

// All labels of a textual convention, for error texts.
std::string label_names(std::string_view type);

}  // namespace frisket::simfleet
