// A file that holds one secret. Private to the layer.
#pragma once

#include <filesystem>
#include <string>

#include "probes/model/result.h"

namespace frisket::config {

struct Secret {
  std::string content;           // without the line end at its end
  bool others_may_read = false;  // everybody on this machine, by the file's mode
};

// Reads a regular file of 1 to 4096 bytes; anything else is an error that says what it is and
// never shows content. Does not wait: a FIFO or a device is refused, not opened for long.
model::Result<Secret> read_secret(const std::filesystem::path& file);

}  // namespace frisket::config
