// A copy of the store while the daemon goes on writing to it.
#pragma once

#include <filesystem>

#include "probes/model/result.h"

namespace frisket::store {

// Copies the store in the file `from`, which a running daemon may have open, as of one instant into the file
// `to`: under another name first, checked, synced, and only then given its name. A single file of mode 0600, which
// open_sqlite() takes. Blocks for as long as it takes; the daemon's writes go on.
//
// invalid: `to` is there already, or `from` is no store. local: the machine could not do it; then there
// is no file at `to`.
model::Result<model::Done> backup_database(const std::filesystem::path& from, const std::filesystem::path& to);

}  // namespace frisket::store
