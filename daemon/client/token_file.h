// The file that --token-file names. Blocks while it is read.
#pragma once

#include <string>

#include "probes/model/result.h"

namespace frisket::client {

// The token in it: one line of visible ASCII, at most 4096 bytes. Kind local if the file cannot be read, invalid for
// any other content, which no message shows.
model::Result<std::string> token_in(const std::string& file);

}  // namespace frisket::client
