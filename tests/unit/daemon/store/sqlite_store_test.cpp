#include "daemon/store/sqlite_store.h"

#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include "daemon/store/connection.h"
#include "daemon/store/sqlite_rows.h"
#include "fixtures.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

// Acts as a user without privileges while it lives, where the test runs as root.
class Unprivileged {
 public:
  explicit Unprivileged(const std::filesystem::path& folder) {
    if (::geteuid() != 0) return;
    constexpr uid_t kNobody = 65534;
    REQUIRE(::chown(folder.c_str(), kNobody, kNobody) == 0);
    for (const auto& entry : std::filesystem::directory_iterator(folder))
      REQUIRE(::chown(entry.path().c_str(), kNobody, kNobody) == 0);
    REQUIRE(::seteuid(kNobody) == 0);
    was_root_ = true;
  }
  ~Unprivileged() {
    if (was_root_ && ::seteuid(0) != 0) std::abort();
  }
  Unprivileged(const Unprivileged&) = delete;
  Unprivileged& operator=(const Unprivileged&) = delete;

 private:
  bool was_root_ = false;
};

TEST_CASE("only the owner may read the store and its log") {
  TemporaryFolder folder;
  if (GENERATE(false, true)) folder.write(kStoreFile, "", 0664);
  const auto opened = must(open_sqlite(folder.path() / kStoreFile, kMorning));
  must(opened.store->write(of({raised(incident("a"))})));
  for (const char* name : {"frisket.db", "frisket.db-wal", "frisket.db-shm"}) {
    INFO(name);
    struct stat status {};
    REQUIRE(::stat((folder.path() / name).c_str(), &status) == 0);
    CHECK((status.st_mode & 07777) == 0600);
  }
}

TEST_CASE("a store that can only be read is refused in words, at once") {
  TemporaryFolder folder;
  must(open_sqlite(folder.path() / kStoreFile, kMorning));
  std::filesystem::permissions(folder.path() / kStoreFile, std::filesystem::perms::owner_read);
  const Unprivileged person(folder.path());
  const auto opened = open_sqlite(folder.path() / kStoreFile, kMorning);
  REQUIRE_FALSE(opened);
  CHECK(opened.error().kind == model::Error::Kind::local);
  CHECK(opened.error().what == "the file can be read but not written");
}

TEST_CASE("a store in a folder that is not there is an error in words") {
  TemporaryFolder folder;
  const auto opened = open_sqlite(folder.path() / "missing" / kStoreFile, kMorning);
  REQUIRE_FALSE(opened);
  CHECK(opened.error().kind == model::Error::Kind::local);
  CHECK(opened.error().text().find("missing/frisket.db: ") != std::string::npos);
}

// PRAGMA max_page_count gives the error that a full disk gives (SQLITE_FULL).
TEST_CASE("a batch that finds no room is not written at all, and goes in once there is room") {
  TemporaryFolder folder;
  const auto file = folder.path() / kStoreFile;
  must(open_sqlite(file, kMorning));
  auto database = open_file(file);
  set_up(*database);
  auto& limited = *database;
  SqliteStore store(file, std::move(database));
  must(store.write(of({raised(incident("a"))})));
  const auto before = must(store.memory());

  const auto limit = [&](int pages) { limited.execAndGet("PRAGMA max_page_count = " + std::to_string(pages)); };
  limit(limited.execAndGet("PRAGMA page_count").getInt());
  Batch batch;
  for (int i = 0; i < 200; ++i) batch.transitions.push_back(raised(incident("full" + std::to_string(i))));
  batch.devices["herbarium-copier"].reach.missed = 3;
  batch.last_id = 99;
  const auto written = store.write(batch);
  REQUIRE_FALSE(written);
  CHECK(written.error().kind == model::Error::Kind::local);
  CHECK(written.error().what == "database or disk is full");
  CHECK(must(store.memory()) == before);

  limit(1'000'000);
  must(store.write(batch));
  CHECK(must(store.memory()).incidents.size() == 201);
  CHECK(must(store.memory()).last_id == 99);
}

// SQLite's own account of rows that were visited for want of an index (SQLITE_STMTSTATUS_FULLSCAN_STEP).
int count_scanned(unsigned, void* total, void* statement, void*) {
  *static_cast<int*>(total) +=
      sqlite3_stmt_status(static_cast<sqlite3_stmt*>(statement), SQLITE_STMTSTATUS_FULLSCAN_STEP, 0);
  return 0;
}

TEST_CASE("forgetting goes to what is over, and does not look through what is kept") {
  TemporaryFolder folder;
  const auto file = folder.path() / kStoreFile;
  must(open_sqlite(file, kMorning));
  auto database = open_file(file);
  set_up(*database);
  int scanned = 0;
  sqlite3_trace_v2(database->getHandle(), SQLITE_TRACE_PROFILE, count_scanned, &scanned);
  SqliteStore store(file, std::move(database));
  Batch batch;
  for (int i = 0; i < 50; ++i) {
    const auto id = "i" + std::to_string(i);
    batch.transitions.push_back(cleared(incident(id), kMorning));
    batch.notices.push_back(notice(static_cast<std::uint64_t>(i) + 1, id, Notice::State::delivered));
    batch.readings.push_back(reading(kMorning, 1));
  }
  must(store.write(batch));
  REQUIRE(must(store.memory()).incidents.size() == 50);
  scanned = 0;
  must(store.forget({}, kMorning + 24h));
  CHECK(scanned == 0);
}

TEST_CASE("what can never be written is told apart from what may go in later") {
  TemporaryFolder folder;
  const auto opened = must(open_sqlite(folder.path() / kStoreFile, kMorning));
  open_file(folder.path() / kStoreFile)
      ->exec("CREATE TRIGGER t BEFORE INSERT ON devices BEGIN SELECT raise(ABORT, 'no'); END");
  Batch batch = of({raised(incident("a"))});
  batch.devices["herbarium-copier"].reach.missed = 3;
  const auto written = opened.store->write(batch);
  REQUIRE_FALSE(written);
  CHECK(written.error().kind == model::Error::Kind::invalid);
  CHECK(must(opened.store->memory()).incidents.empty());
}

TEST_CASE("a row that makes no sense is left out and told of, and the others are there") {
  TemporaryFolder folder;
  const auto opened = must(open_sqlite(folder.path() / kStoreFile, kMorning));
  Batch batch = of({raised(incident("a")), raised(incident("b"))});
  batch.devices["herbarium-copier"].reach.missed = 3;
  batch.notices = {notice(1, "a"), notice(2, "a")};
  must(opened.store->write(batch));
  open_file(folder.path() / kStoreFile)
      ->exec(
          "UPDATE incidents SET body = '{\"id\": 3}' WHERE id = 'a'; UPDATE devices SET body = 'rubbish';"
          "UPDATE notices SET state = 'lost' WHERE number = 1; UPDATE transitions SET what = 'raised', body = '7'");
  CHECK(must(opened.store->memory()).incidents == std::vector{incident("b")});
  const auto findings = opened.store->take_findings();
  REQUIRE(findings.size() == 2);
  CHECK(findings[0] == "the incident a was left out: reading a kept incident: id is not a text");
  CHECK(findings[1] ==
        "the memory of herbarium-copier was left out: reading a kept device memory: the whole is not JSON");
  CHECK(opened.store->take_findings().empty());
  CHECK(ids_of(must(opened.store->outbox())) == std::vector<std::string>{"a-2"});  // nobody asks for "lost"
  CHECK(must(opened.store->transitions_since(WallTime{})).empty());
  CHECK(opened.store->take_findings().size() == 2);
}

}  // namespace
}  // namespace frisket::store::testing
