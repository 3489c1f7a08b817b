// Reading what can be read of a damaged store, row by row. Inside daemon/store only.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace frisket::store {

// Fills the empty file `to` with the rows of `from` that can be read and that fit; `from` stays as it is. Says in
// findings, table by table, how many there were and how many are known to be lost. Throws SQLite::Exception
// for trouble with `to` only.
void recover(const std::filesystem::path& from, const std::filesystem::path& to, std::vector<std::string>& findings);

}  // namespace frisket::store
