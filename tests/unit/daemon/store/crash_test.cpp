// Killed at every call that changes a file, at random moments, and by power cuts: what was acknowledged is there, and
// nothing is there by halves.
//
// The children are forked and end by SIGKILL or _exit(), so nothing of the test program's runs in them.
// `store_crash_tests '[every call]'` and `'[a thousand]'` are the long runs.
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <fstream>
#include <functional>
#include <random>

#include "daemon/store/backup.h"
#include "daemon/store/connection.h"
#include "daemon/store/sqlite_rows.h"
#include "daemon/store/sqlite_store.h"
#include "daemon/store/store_writer.h"
#include "faulty_disk.h"
#include "numbered.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

using Path = std::filesystem::path;
using Say = std::function<void(std::uint64_t)>;

constexpr std::uint64_t kBatches = 4;

// A process that says numbers until it ends.
class Child {
 public:
  explicit Child(const std::function<void(const Say&)>& work) {
    int ends[2];
    REQUIRE(::pipe2(ends, O_CLOEXEC) == 0);
    pid_ = ::fork();
    REQUIRE(pid_ >= 0);
    if (pid_ == 0) {
      const auto say = [&](std::uint64_t number) {
        if (::write(ends[1], &number, sizeof number) != sizeof number) ::_exit(3);
      };
      work(say);
      ::_exit(0);
    }
    ::close(ends[1]);
    from_ = ends[0];
  }
  ~Child() {
    kill();
    end();
    ::close(from_);
  }
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  std::optional<std::uint64_t> next() {
    std::uint64_t number = 0;
    if (::read(from_, &number, sizeof number) != sizeof number) return std::nullopt;
    return number;
  }
  std::uint64_t last(std::uint64_t before = 0) {
    while (const auto number = next()) before = *number;
    return before;
  }
  void kill() const {
    if (pid_ > 0) ::kill(pid_, SIGKILL);
  }
  // True if it was killed, false if it had done its work.
  bool end() {
    if (pid_ > 0) REQUIRE(::waitpid(std::exchange(pid_, -1), &status_, 0) > 0);
    return WIFSIGNALED(status_);
  }
  bool failed() const { return WIFEXITED(status_) && WEXITSTATUS(status_) != 0; }

 private:
  pid_t pid_ = -1;
  int from_ = -1;
  int status_ = 0;
};

// Makes the store, and writes all batches through a log so short that its pages move to the database often.
void write_all(const Path& file, const Say& say) {
  if (!open_sqlite(file, kMorning)) ::_exit(4);
  auto database = open_file(file);
  set_up(*database);
  database->exec("PRAGMA wal_autocheckpoint = 16");
  SqliteStore store(file, std::move(database));
  for (std::uint64_t number = 1; number <= kBatches; ++number) {
    if (!store.write(numbered(number))) ::_exit(5);
    say(number);
  }
}

// How many calls some work takes when nothing happens to the disk.
std::uint64_t calls_of(const std::function<void(const Path&)>& prepare, const std::function<void(const Path&)>& work) {
  TemporaryFolder folder;
  prepare(folder.path());
  Child child([&](const Say& say) {
    FaultyDisk disk;
    disk.plan({});
    work(folder.path());
    say(disk.calls());
  });
  const auto calls = child.last();
  child.end();
  REQUIRE_FALSE(child.failed());
  return calls;
}

void kill_while_writing(Plan plan) {
  TemporaryFolder folder;
  const auto file = folder.path() / kStoreFile;
  Child child([&](const Say& say) {
    FaultyDisk disk;
    disk.plan(plan);
    write_all(file, say);
  });
  const auto acknowledged = child.last();
  CHECK(child.end());
  const auto opened = must(open_sqlite(file, kMorning));
  CHECK(opened.findings.empty());
  const auto count = count_in(*opened.store);
  CHECK(count >= acknowledged);
  CHECK(count <= acknowledged + 1);  // written, and killed before it could be said
  check_holds(*opened.store, count);
}

const char* name_of(Fault fault) {
  switch (fault) {
    case Fault::killed:
      return "killed before";
    case Fault::killed_halfway:
      return "killed halfway through";
    default:
      return "power cut before";
  }
}

void kill_at_calls(Fault fault, std::uint64_t first, std::uint64_t step) {
  const auto nothing = [](const Path&) {};
  const auto calls =
      calls_of(nothing, [](const Path& folder) { write_all(folder / kStoreFile, [](std::uint64_t) {}); });
  REQUIRE(calls > 150);
  for (std::uint64_t at = first; at <= calls; at += step) {
    INFO(name_of(fault) << " call " << at << " of " << calls);
    kill_while_writing({fault, at, false, static_cast<std::uint32_t>(at)});
  }
}

TEST_CASE("a kill or a power cut at a call that changes a file takes nothing that was acknowledged") {
  const auto fault = GENERATE(Fault::killed, Fault::killed_halfway, Fault::power_cut);
  kill_at_calls(fault, 1 + static_cast<std::uint64_t>(fault), 4);
}

TEST_CASE("a kill or a power cut at each and every call takes nothing that was acknowledged", "[.][every call]") {
  const auto fault = GENERATE(Fault::killed, Fault::killed_halfway, Fault::power_cut);
  kill_at_calls(fault, 1, 1);
}

// A store of which one page in the middle is rubbish.
void make_damaged(const Path& folder) {
  const auto file = folder / kStoreFile;
  {
    const auto opened = must(open_sqlite(file, kMorning));
    for (std::uint64_t number = 1; number <= 20; ++number) must(opened.store->write(numbered(number)));
  }
  std::fstream stream(file, std::ios::binary | std::ios::in | std::ios::out);
  constexpr int kPage = 4096;
  stream.seekp(static_cast<std::streamoff>(std::filesystem::file_size(file) / kPage / 2 * kPage));
  stream << std::string(kPage, '\xA5');
}

std::string content_of(const Path& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

TEST_CASE("a kill while a damaged store is replaced loses neither the damaged one nor what can be read of it") {
  TemporaryFolder first;
  make_damaged(first.path());
  const auto damaged = content_of(first.path() / kStoreFile);
  const auto expected = must(open_sqlite(first.path() / kStoreFile, kMorning));
  REQUIRE_FALSE(expected.findings.empty());
  const auto open = [](const Path& folder) {
    if (!open_sqlite(folder / kStoreFile, kMorning)) ::_exit(4);
  };
  const auto calls = calls_of(make_damaged, open);
  REQUIRE(calls > 20);
  for (std::uint64_t at = 1; at <= calls; at += 5) {
    INFO("killed before call " << at << " of " << calls);
    TemporaryFolder folder;
    folder.write(kStoreFile, damaged, 0600);
    Child child([&](const Say&) {
      FaultyDisk disk;
      disk.plan({at % 2 == 1 ? Fault::killed : Fault::power_cut, at, false, static_cast<std::uint32_t>(at)});
      open(folder.path());
    });
    CHECK(child.end());
    const auto opened = must(open_sqlite(folder.path() / kStoreFile, kMorning));
    check_same(*opened.store, *expected.store);
    CHECK(folder.read("frisket.db.damaged-20260302T080000Z") == damaged);
  }
}

TEST_CASE("a kill while a copy is made leaves the store whole, and no copy or a whole one") {
  const auto prepare = [](const Path& folder) {
    const auto opened = must(open_sqlite(folder / kStoreFile, kMorning));
    for (std::uint64_t number = 1; number <= 5; ++number) must(opened.store->write(numbered(number)));
  };
  const auto copy = [](const Path& folder) {
    if (!backup_database(folder / kStoreFile, folder / "copy.db")) ::_exit(4);
  };
  const auto calls = calls_of(prepare, copy);
  REQUIRE(calls > 20);
  for (std::uint64_t at = 1; at <= calls; at += 2) {
    INFO("killed before call " << at << " of " << calls);
    TemporaryFolder folder;
    prepare(folder.path());
    Child child([&](const Say&) {
      FaultyDisk disk;
      disk.plan({Fault::power_cut, at, false, static_cast<std::uint32_t>(at)});
      copy(folder.path());
    });
    CHECK(child.end());
    check_holds(*must(open_sqlite(folder.path() / kStoreFile, kMorning)).store, 5);
    if (std::filesystem::exists(folder.path() / "copy.db"))
      check_holds(*must(open_sqlite(folder.path() / "copy.db", kMorning)).store, 5);
  }
}

// Writes on and on as the daemon does, with a few batches under way at any time.
void write_on(const Path& file, const Say& say) {
  auto opened = open_sqlite(file, kMorning);
  if (!opened || !opened->findings.empty()) ::_exit(4);
  auto number = count_in(*opened->store);
  boost::asio::io_context context;
  StoreWriter writer(std::move(opened->store), context.get_executor());
  std::function<void()> more = [&] {
    const auto mine = ++number;
    writer.write(numbered(mine), {}, [&, mine](const model::Result<model::Done>& written) {
      if (!written) ::_exit(5);
      say(mine);
      more();
    });
  };
  for (int under_way = 0; under_way < 5; ++under_way) boost::asio::post(context, more);
  context.run();
}

void kill_at_random(int kills, std::uint32_t seed) {
  std::mt19937 chance(seed);
  for (int done = 0; done < kills;) {
    TemporaryFolder folder;
    const auto file = folder.path() / kStoreFile;
    for (int lives = 0; lives < 10 && done < kills; ++lives, ++done) {
      INFO("kill " << done << " with seed " << seed);
      Child child([&](const Say& say) { write_on(file, say); });
      std::uint64_t acknowledged = 0;
      for (auto wait = chance() % 12; wait > 0; --wait) acknowledged = child.next().value_or(acknowledged);
      child.kill();
      acknowledged = child.last(acknowledged);
      CHECK(child.end());
      const auto opened = must(open_sqlite(file, kMorning));
      CHECK(opened.findings.empty());
      const auto count = count_in(*opened.store);
      CHECK(count >= acknowledged);
      check_holds(*opened.store, count);
    }
  }
}

TEST_CASE("a kill at whatever moment while the writer is at work takes nothing that was acknowledged") {
  kill_at_random(40, 1);
}

TEST_CASE("a thousand kills while the writer is at work take nothing that was acknowledged", "[.][a thousand]") {
  kill_at_random(1000, std::random_device{}());
}

}  // namespace
}  // namespace frisket::store::testing
