// Damaged files: moved aside, and what can be read goes on.
#include <fstream>

#include "daemon/store/connection.h"
#include "daemon/store/schema.h"
#include "daemon/store/sqlite_store.h"
#include "fixtures.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

constexpr const char* kAside = "frisket.db.damaged-20260302T080000Z";
constexpr std::size_t kPage = 4096;

class Damaged {
 public:
  explicit Damaged(int incidents) {
    const auto opened = must(open_sqlite(file(), kMorning));
    Batch batch;
    for (int i = 0; i < incidents; ++i) batch.transitions.push_back(raised(incident("i" + std::to_string(1000 + i))));
    batch.last_id = 4711;
    batch.devices["herbarium-copier"].reach.missed = 3;
    batch.notices = {notice(8, "i1000")};
    must(opened.store->write(batch));
  }

  std::filesystem::path file() const { return folder_.path() / kStoreFile; }
  const TemporaryFolder& folder() const { return folder_; }
  bool has(const std::string& name) const { return std::filesystem::exists(folder_.path() / name); }
  std::size_t pages() const { return std::filesystem::file_size(file()) / kPage; }

  void overwrite(std::size_t place, const std::string& octets) const {
    std::fstream stream(file(), std::ios::binary | std::ios::in | std::ios::out);
    stream.seekp(static_cast<std::streamoff>(place));
    stream << octets;
  }
  Opened open() const { return must(open_sqlite(file(), kMorning)); }

 private:
  TemporaryFolder folder_;
};

std::string all_of(const std::vector<std::string>& findings) {
  std::string text;
  for (const auto& finding : findings) text += finding + "\n";
  return text;
}

TEST_CASE("a file that is no database is moved aside, and a new store begins") {
  TemporaryFolder folder;
  const std::string rubbish(20'000, 'x');
  folder.write(kStoreFile, rubbish);
  const auto opened = must(open_sqlite(folder.path() / kStoreFile, kMorning));
  CHECK(folder.read(kAside) == rubbish);
  CHECK(all_of(opened.findings).find("everything that the store held is lost") != std::string::npos);
  CHECK(all_of(opened.findings).find(std::string("moved to ") + (folder.path() / kAside).string()) !=
        std::string::npos);
  must(opened.store->write(of({raised(incident("a"))})));
  CHECK(must(opened.store->memory()).incidents.size() == 1);
}

TEST_CASE("a second damaged file of the same second does not take the first one's place") {
  TemporaryFolder folder;
  folder.write(kAside, "the first");
  folder.write(kStoreFile, std::string(5000, 'x'));
  must(open_sqlite(folder.path() / kStoreFile, kMorning));
  CHECK(folder.read(kAside) == "the first");
  CHECK(folder.read(std::string(kAside) + "-2") == std::string(5000, 'x'));
}

TEST_CASE("whatever page is damaged, the store opens and goes on with most of what was there") {
  const int count = 60;
  const std::size_t pages = Damaged(count).pages();
  REQUIRE(pages > 20);
  std::size_t recovered = 0;
  std::size_t damaged_pages = 0;
  for (std::size_t page = 1; page < pages; ++page) {  // page 0 lists the tables
    const Damaged damaged(count);
    damaged.overwrite(page * kPage, std::string(kPage, '\xA5'));
    INFO("page " << page);
    const auto opened = damaged.open();
    if (!damaged.has(kAside)) continue;  // a page in the free list, or an overflow of text
    ++damaged_pages;
    CHECK_FALSE(opened.findings.empty());
    recovered += must(opened.store->memory()).incidents.size();
    must(opened.store->write(of({raised(incident("zz"))})));
    must(opened.store->memory());
  }
  CHECK(damaged_pages > pages / 2);
  CHECK(recovered > damaged_pages * static_cast<std::size_t>(count) * 8 / 10);
}

TEST_CASE("a damaged leaf of the incidents costs the rows on it, and they are counted") {
  const Damaged damaged(200);
  const auto page = [&] {  // a leaf in the middle, by SQLite's own account of which page is whose
    const auto database = open_file(damaged.file());
    database->exec("PRAGMA wal_checkpoint(TRUNCATE)");
    SQLite::Statement query(*database,
                            "SELECT pageno FROM dbstat WHERE name = 'incidents' AND pagetype = 'leaf' ORDER BY path");
    std::vector<int> leaves;
    while (query.executeStep()) leaves.push_back(query.getColumn(0).getInt());
    REQUIRE(leaves.size() > 10);
    return static_cast<std::size_t>(leaves[leaves.size() / 2]);
  }();
  damaged.overwrite((page - 1) * kPage, std::string(kPage, '\0'));
  const auto opened = damaged.open();
  const auto kept = must(opened.store->memory());
  CHECK(kept.incidents.size() < 200);
  CHECK(kept.incidents.size() > 180);
  CHECK(kept.incidents.front().id == "i1000");
  CHECK(kept.incidents.back().id == "i1199");
  CHECK(kept.last_id == 4711);
  CHECK(kept.devices.size() == 1);
  CHECK(must(opened.store->outbox()) == std::vector{notice(8, "i1000")});
  const auto lost = 200 - kept.incidents.size();
  CHECK(all_of(opened.findings)
            .find("incidents: " + std::to_string(kept.incidents.size()) + " rows recovered, up to " +
                  std::to_string(lost) + " lost") != std::string::npos);
  CHECK(opened.findings.back() == "the damaged store was moved to " + (damaged.folder().path() / kAside).string());
}

TEST_CASE("a store that was cut short opens with what was before the cut") {
  const Damaged damaged(200);  // so that the cut is behind the schema
  std::filesystem::resize_file(damaged.file(), damaged.pages() / 2 * kPage);
  const auto opened = damaged.open();
  CHECK(damaged.has(kAside));
  CHECK(must(opened.store->memory()).last_id == 4711);
}

TEST_CASE("an exchange that was broken off is finished at the next start") {
  const Damaged damaged(3);
  const Damaged recovered(2);
  std::filesystem::copy(recovered.file(), damaged.folder().path() / "frisket.db.recovered");
  damaged.folder().write("frisket.db-wal", "the damaged one's log");
  SECTION("before the damaged file was moved") {}
  SECTION("after the damaged file was moved") { std::filesystem::remove(damaged.file()); }
  const auto opened = damaged.open();
  CHECK(must(opened.store->memory()).incidents.size() == 2);
  CHECK(damaged.folder().read(std::string(kAside) + "-wal") == "the damaged one's log");
  CHECK_FALSE(damaged.has("frisket.db.recovered"));
}

TEST_CASE("a recovery that was broken off is begun again") {
  const Damaged damaged(3);
  damaged.overwrite(0, std::string(100, 'x'));
  damaged.folder().write("frisket.db.recovering", "half a database");
  const auto opened = damaged.open();
  must(opened.store->write(of({raised(incident("a"))})));
  CHECK_FALSE(damaged.has("frisket.db.recovering"));
}

}  // namespace
}  // namespace frisket::store::testing
