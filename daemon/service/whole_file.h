// A small file that is written as a whole or not at all.
//
// Blocks until it is on the disk: for a few lines, seldom. Any thread.
#pragma once

#include <filesystem>
#include <string>

#include "probes/model/result.h"

namespace frisket::service {

// Only its owner may read it. Fails with Kind::local; then the file is as it was.
model::Result<model::Done> write_whole(const std::filesystem::path& file, const std::string& text);

}  // namespace frisket::service
