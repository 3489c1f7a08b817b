#include "daemon/store/schema.h"
#include "daemon/store/connection.h"
#include "daemon/store/row_writer.h"
#include "daemon/store/sqlite_store.h"
#include "fixtures.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

struct Folder {
  TemporaryFolder folder;
  std::filesystem::path file = folder.path() / kStoreFile;
  // A database that holds what the statements make of it.
  void make(const std::string& sql) {
    make_private(file);
    open_file(file)->exec(sql);
  }
};

TEST_CASE("a new store has the newest schema and Frisket's application id") {
  Folder folder;
  must(open_sqlite(folder.file, kMorning));
  const auto database = open_file(folder.file);
  CHECK(database->execAndGet("PRAGMA user_version").getInt() == newest_schema());
  CHECK(database->execAndGet("PRAGMA application_id").getInt() == kApplicationId);
}

TEST_CASE("each version that there ever was is brought up to the newest") {
  for (int version = 0; version <= newest_schema(); ++version) {
    Folder folder;
    make_private(folder.file);
    bring_up_to(*open_file(folder.file), version);
    const auto opened = must(open_sqlite(folder.file, kMorning));
    CHECK(opened.findings.empty());
    auto batch = of({raised(incident("a"))});
    batch.audit = {act("desk")};
    must(opened.store->write(batch));
    CHECK(must(opened.store->audit({})).size() == 1);
    CHECK(ids_of(must(opened.store->memory()).incidents) == std::vector<std::string>{"a"});
  }
}

TEST_CASE("what a store of version 2 holds is there in the newest, with an empty audit trail") {
  Folder folder;
  make_private(folder.file);
  {
    const auto database = open_file(folder.file);
    bring_up_to(*database, 2);
    REQUIRE_FALSE(database->tableExists("audit"));
    RowWriter(*database).write(of({raised(incident("a"))}));
  }
  const auto opened = must(open_sqlite(folder.file, kMorning));
  CHECK(opened.findings.empty());
  CHECK(must(opened.store->memory()).incidents == std::vector{incident("a")});
  CHECK(must(opened.store->audit({})).empty());
}

TEST_CASE("a step that fails leaves the version that was there") {
  Folder folder;
  folder.make("CREATE TABLE readings (x)");  // in the way of the first step's
  const auto database = open_file(folder.file);
  CHECK_THROWS_AS(bring_up_to(*database, newest_schema()), SQLite::Exception);
  CHECK(database->execAndGet("PRAGMA user_version").getInt() == 0);
  CHECK_FALSE(database->tableExists("incidents"));
}

TEST_CASE("a store of a newer version is refused and left alone") {
  Folder folder;
  folder.make("PRAGMA application_id = " + std::to_string(kApplicationId) +
              "; PRAGMA user_version = 99; CREATE TABLE x (y)");
  const auto before = folder.folder.read(kStoreFile);
  const auto opened = open_sqlite(folder.file, kMorning);
  REQUIRE_FALSE(opened);
  CHECK(opened.error().kind == model::Error::Kind::invalid);
  CHECK(opened.error().what ==
        "its schema 99 is of a newer version; this one knows " + std::to_string(newest_schema()));
  CHECK(folder.folder.read(kStoreFile) == before);
}

TEST_CASE("the database of another program is refused and left alone") {
  Folder folder;
  folder.make(GENERATE("CREATE TABLE recipes (name)", "PRAGMA application_id = 5", "PRAGMA user_version = 1"));
  const auto before = folder.folder.read(kStoreFile);
  const auto opened = open_sqlite(folder.file, kMorning);
  REQUIRE_FALSE(opened);
  CHECK(opened.error().kind == model::Error::Kind::invalid);
  CHECK(opened.error().what == "it is the database of another program");
  CHECK(folder.folder.read(kStoreFile) == before);
}

TEST_CASE("a row of each table counts for recovery") {
  Folder folder;
  must(open_sqlite(folder.file, kMorning));
  const auto database = open_file(folder.file);
  SQLite::Statement query(*database, "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name");
  std::vector<std::string> made;
  while (query.executeStep()) made.push_back(query.getColumn(0).getString());
  std::vector<std::string> listed(schema_tables().begin(), schema_tables().end());
  std::ranges::sort(listed);
  CHECK(made == listed);
}

}  // namespace
}  // namespace frisket::store::testing
