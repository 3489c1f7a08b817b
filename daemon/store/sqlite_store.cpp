#include "daemon/store/sqlite_store.h"

#include "daemon/store/attempt.h"
#include "daemon/store/connection.h"
#include "daemon/store/damaged.h"
#include "daemon/store/schema.h"
#include "daemon/store/sqlite_rows.h"

namespace frisket::store {
namespace {

using model::Error;
using model::Result;
using Path = std::filesystem::path;

// What is wrong with the file, in SQLite's words; empty: nothing. quick_check reads every page, but
// does not compare indexes with their tables.
std::string damage_in(const Path& file) {
  try {
    const auto database = open_file(file);
    if (kinship_of(*database) != Kinship::ours) return {};
    const auto verdict = database->execAndGet("PRAGMA quick_check(1)").getString();
    return verdict == "ok" ? "" : verdict;
  } catch (const SQLite::Exception& failure) {
    if (is_damage(failure)) return failure.what();
    throw;
  }
}

Result<std::unique_ptr<Store>> open_sound(const Path& file) {
  auto database = open_file(file);
  const auto refuse = [&](const std::string& why) {
    return Error{Error::Kind::invalid, "opening the store", file.string(), why};
  };
  const auto kinship = kinship_of(*database);
  if (kinship == Kinship::foreign) return refuse("it is the database of another program");
  if (kinship == Kinship::newer) {
    const auto version = database->execAndGet("PRAGMA user_version").getString();
    return refuse("its schema " + version + " is of a newer version; this one knows " +
                  std::to_string(newest_schema()));
  }
  set_up(*database);
  bring_up_to(*database, newest_schema());
  return std::unique_ptr<Store>(std::make_unique<SqliteStore>(file, std::move(database)));
}

}  // namespace

Result<Opened> open_sqlite(const Path& file, model::WallTime now) {
  return attempt("opening the store", file.string(), [&]() -> Result<Opened> {
    Opened opened;
    finish_exchange(file, now, opened.findings);
    make_private(file);
    if (const auto damage = damage_in(file); !damage.empty()) {
      opened.findings.push_back("the store " + file.string() + " is damaged: " + damage);
      replace_damaged(file, now, opened.findings);
    }
    auto store = open_sound(file);
    if (!store) return store.error();
    opened.store = std::move(*store);
    return opened;
  });
}

}  // namespace frisket::store
