#include <sys/stat.h>

#include "daemon/store/backup.h"
#include "daemon/store/sqlite_store.h"
#include "fixtures.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

struct Pair {
  TemporaryFolder folder;
  std::filesystem::path file = folder.path() / kStoreFile;
  std::filesystem::path copy = folder.path() / "copy.db";
  std::unique_ptr<Store> store = must(open_sqlite(file, kMorning)).store;

  std::vector<std::string> files() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path()))
      names.push_back(entry.path().filename());
    std::ranges::sort(names);
    return names;
  }
};

TEST_CASE("a backup of a store in use is the store as of that instant") {
  Pair pair;
  must(pair.store->write(of({raised(incident("a"))})));
  must(backup_database(pair.file, pair.copy));
  must(pair.store->write(of({raised(incident("b"))})));
  const auto opened = must(open_sqlite(pair.copy, kMorning));
  CHECK(opened.findings.empty());
  CHECK(must(opened.store->memory()).incidents == std::vector{incident("a")});
  CHECK(ids_of(must(pair.store->memory()).incidents) == std::vector<std::string>{"a", "b"});
}

TEST_CASE("a backup is one file that nobody else may read, and leaves nothing beside it") {
  Pair pair;
  must(pair.store->write(of({raised(incident("a"))})));
  must(pair.store->back_up(pair.copy));
  CHECK(pair.files() == std::vector<std::string>{"copy.db", "frisket.db", "frisket.db-shm", "frisket.db-wal"});
  CHECK((std::filesystem::status(pair.copy).permissions() & std::filesystem::perms::mask) ==
        (std::filesystem::perms::owner_read | std::filesystem::perms::owner_write));
}

TEST_CASE("a backup refuses to overwrite, whatever is there") {
  Pair pair;
  SECTION("a file") { pair.folder.write("copy.db", "precious"); }
  SECTION("a link that leads nowhere") { std::filesystem::create_symlink("nowhere", pair.copy); }
  const auto before = pair.files();
  const auto done = pair.store->back_up(pair.copy);
  REQUIRE_FALSE(done);
  CHECK(done.error().kind == model::Error::Kind::invalid);
  CHECK(done.error().what == "there is such a file already");
  CHECK(pair.files() == before);
}

TEST_CASE("a backup into a folder that is not there fails and leaves nothing") {
  Pair pair;
  const auto before = pair.files();
  const auto done = pair.store->back_up(pair.folder.path() / "missing" / "copy.db");
  REQUIRE_FALSE(done);
  CHECK(done.error().kind == model::Error::Kind::local);
  CHECK(pair.files() == before);
}

TEST_CASE("what is no store is not backed up") {
  TemporaryFolder folder;
  CHECK(backup_database(folder.path() / "none.db", folder.path() / "copy.db").error().what == "there is no store");
  folder.write("notes.txt", "Water the ferns.\n");
  CHECK_FALSE(backup_database(folder.path() / "notes.txt", folder.path() / "copy.db"));
  folder.write("empty.db", "");
  CHECK(backup_database(folder.path() / "empty.db", folder.path() / "copy.db").error().what == "that is no store");
  CHECK_FALSE(std::filesystem::exists(folder.path() / "copy.db"));
}

}  // namespace
}  // namespace frisket::store::testing
