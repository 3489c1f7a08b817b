// A key whose value names a program that the daemon runs. Private to the layer.
#pragma once

#include <filesystem>
#include <string_view>

#include "config/section.h"

namespace frisket::config {

// The absolute path of an executable file; anything else is a finding. Empty where the key is absent. Warns if
// everybody may change the program.
std::filesystem::path program_from(Section& section, std::string_view key);

}  // namespace frisket::config
