// A key whose value names a file that holds a secret. Private to the layer.
#pragma once

#include <string>
#include <string_view>

#include "config/sections.h"

namespace frisket::config {

inline constexpr std::size_t kLongestSecret = 255;

// One line of `shortest` to kLongestSecret bytes from the file that the key names. Empty where the key is
// absent or the file is not fit, which is a finding that shows no content. Warns if everybody may read it.
std::string secret_from_file(Reading& reading, Section& section, std::string_view key, std::size_t shortest);

}  // namespace frisket::config
