// The store in one SQLite file (docs/store.md).
//
// Write-ahead log, synced at each commit: what write() acknowledged is there after a power cut.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "daemon/store/store.h"

namespace frisket::store {

inline constexpr const char* kStoreFile = "frisket.db";  // in state_dir

struct Opened {
  std::unique_ptr<Store> store;
  // Sentences for the log: what was damaged, where it was put, what was lost. Empty: all well.
  std::vector<std::string> findings;
};

// Makes the file (mode 0600) if it is not there, and brings an older schema up to date. A damaged file is moved
// aside under a name with `now` in it, and what can be read of it goes into a new one.
// Errors: invalid for a database of another program or of a newer version, which is left alone; local
// for what the machine could not do.
model::Result<Opened> open_sqlite(const std::filesystem::path& file, model::WallTime now);

}  // namespace frisket::store
