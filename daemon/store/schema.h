// The numbered steps that make the database what this version needs. Inside daemon/store only.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <span>

namespace frisket::store {

// In SQLite's header of the file ("Frsk"), so that a database of another program is never written to.
inline constexpr std::int32_t kApplicationId = 0x4672736b;

// Step n brings a database from version n to n + 1. Steps are only ever added: databases that were made by
// the earlier ones are out there.
std::span<const char* const> schema_steps();

// The version that the steps lead to; kept as SQLite's user_version.
int newest_schema();

// Goes from the database's version to `version`, each step in a transaction of its own. Throws SQLite::Exception.
void bring_up_to(SQLite::Database& database, int version);

// The tables whose rows are kept, those first that others refer to.
std::span<const char* const> schema_tables();

}  // namespace frisket::store
