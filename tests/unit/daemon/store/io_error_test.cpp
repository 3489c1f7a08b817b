// A disk that refuses, call by call: nothing half written, nothing lost, and it goes on when the disk does.
#include "daemon/store/connection.h"
#include "daemon/store/sqlite_rows.h"
#include "daemon/store/sqlite_store.h"
#include "faulty_disk.h"
#include "numbered.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

constexpr std::uint64_t kBatches = 3;

// With so short a log the pages move from it into the database every batch or two.
std::unique_ptr<Store> with_short_log(const std::filesystem::path& file) {
  auto database = open_file(file);
  set_up(*database);
  database->exec("PRAGMA wal_autocheckpoint = 16");
  return std::make_unique<SqliteStore>(file, std::move(database));
}

std::uint64_t calls_of_all_batches() {
  TemporaryFolder folder;
  FaultyDisk disk;
  must(open_sqlite(folder.path() / kStoreFile, kMorning));
  const auto store = with_short_log(folder.path() / kStoreFile);
  disk.plan({});
  for (std::uint64_t number = 1; number <= kBatches; ++number) must(store->write(numbered(number)));
  return disk.calls();
}

// True if a batch met the fault.
bool write_through(Plan plan) {
  TemporaryFolder folder;
  const auto file = folder.path() / kStoreFile;
  bool met = false;
  {
    FaultyDisk disk;
    must(open_sqlite(file, kMorning));
    const auto store = with_short_log(file);
    disk.plan(plan);
    for (std::uint64_t number = 1; number <= kBatches; ++number) {
      const auto written = store->write(numbered(number));
      if (written) continue;
      met = true;
      CHECK(written.error().kind == model::Error::Kind::local);
      check_holds(*store, number - 1);
      disk.plan({});
      must(store->write(numbered(number)));
    }
  }
  auto opened = must(open_sqlite(file, kMorning));
  CHECK(opened.findings.empty());
  check_holds(*opened.store, kBatches);
  return met;
}

}  // namespace

TEST_CASE("whichever call of the disk fails, its batch is not written at all, and is written when the disk goes on") {
  const auto fault = GENERATE(Fault::no_room, Fault::broken);
  const auto calls = calls_of_all_batches();
  REQUIRE(calls > 100);
  std::uint64_t met = 0;
  for (std::uint64_t at = 1; at <= calls; ++at) {
    // Each call meets one fault that lasts and one that does not.
    const bool lasting = (at % 2 == 0) == (fault == Fault::broken);
    INFO("call " << at << " of " << calls << (lasting ? ", lasting" : "")
                 << (fault == Fault::broken ? ", broken" : ", no room"));
    if (write_through({fault, at, lasting})) ++met;
  }
  CHECK(met > calls / 3);  // a failure to move pages out of the log is nobody's business yet
}

TEST_CASE("whichever call fails while the store is opened, it is an error, and the next start finds all of it") {
  const auto fault = GENERATE(Fault::no_room, Fault::broken);
  const bool is_new = GENERATE(false, true);
  std::uint64_t failed = 0;
  std::uint64_t calls = 1;
  for (std::uint64_t at = 1; at <= calls; ++at) {
    INFO("call " << at << " of " << calls);
    TemporaryFolder folder;
    const auto file = folder.path() / kStoreFile;
    if (!is_new) must(must(open_sqlite(file, kMorning)).store->write(numbered(1)));
    {
      FaultyDisk disk;
      disk.plan({fault, at, true});
      const auto opened = open_sqlite(file, kMorning);
      if (!opened) {
        ++failed;
        CHECK(opened.error().kind == model::Error::Kind::local);
      }
      calls = std::max(calls, disk.calls());
    }
    auto opened = must(open_sqlite(file, kMorning));
    CHECK(opened.findings.empty());
    check_holds(*opened.store, is_new ? 0 : 1);
  }
  CHECK(failed > 0);
}

}  // namespace frisket::store::testing
