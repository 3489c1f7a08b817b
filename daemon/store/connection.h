// Opening the file the way the store wants it. Inside daemon/store only.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <memory>
#include <string>

namespace frisket::store {

// How long somebody else's lock (a backup's, a person's with a database shell) is waited for.
inline constexpr int kBusyMilliseconds = 5000;

// Makes the file empty with mode 0600 if it is not there, and takes from an existing one what others may do
// with it. Throws std::system_error.
void make_private(const std::filesystem::path& file);

// Opens without changing anything. Throws SQLite::Exception.
std::unique_ptr<SQLite::Database> open_file(const std::filesystem::path& file);

// Write-ahead log, synced at each commit, foreign keys held. Throws SQLite::Exception.
void set_up(SQLite::Database& database);

// What kind of database it is.
enum class Kinship { empty, ours, newer, foreign };
Kinship kinship_of(SQLite::Database& database);

// Both throw std::system_error.
void sync_file(const std::filesystem::path& file);
void sync_folder_of(const std::filesystem::path& file);

}  // namespace frisket::store
