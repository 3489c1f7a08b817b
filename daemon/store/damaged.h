// A damaged store is moved aside, and what can be read of it goes on in a new one. Inside daemon/store only.
//
// The new one is complete under a name of its own ("frisket.db.recovered") before the damaged one is touched.
// So whenever the power fails in between, the next start finishes the exchange. Both functions throw
// SQLite::Exception or std::system_error; then the damaged file is where it was, or the next start finishes.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "probes/model/time.h"

namespace frisket::store {

using Findings = std::vector<std::string>;

// Goes on with an exchange that was broken off; does nothing if there was none.
void finish_exchange(const std::filesystem::path& file, model::WallTime now, Findings& findings);

// Nobody has the file open. The damaged one is then "frisket.db.damaged-20261125T080000Z".
void replace_damaged(const std::filesystem::path& file, model::WallTime now, Findings& findings);

}  // namespace frisket::store
