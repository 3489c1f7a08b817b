// A small file that only some may touch: a secret, or the file of tokens. Private to the layer.
#pragma once

#include <filesystem>
#include <string>

#include "probes/model/result.h"

namespace frisket::config {

struct GuardedFile {
  std::string content;
  // Everybody on this machine, by the file's mode.
  bool others_may_read = false;
  bool others_may_write = false;
};

// Reads a regular file of at most `largest` bytes; anything else is an error that says what it is and
// never shows content. Does not wait: a FIFO or a device is refused, not opened for long.
model::Result<GuardedFile> read_guarded(const std::filesystem::path& file, std::size_t largest);

// One secret: not empty, at most 4096 bytes, without the line end at its end.
model::Result<GuardedFile> read_secret(const std::filesystem::path& file);

}  // namespace frisket::config
