#include "daemon/store/backup.h"

#include <SQLiteCpp/Backup.h>
#include <fcntl.h>
#include <stdio.h>
#include <unistd.h>

#include <cerrno>
#include <stdexcept>
#include <system_error>

#include "daemon/store/attempt.h"
#include "daemon/store/connection.h"

namespace frisket::store {
namespace {

using model::Done;
using model::Error;
using model::Result;
using Path = std::filesystem::path;

// The copy under its first name; goes away unless it has been given its own.
class Partial {
 public:
  explicit Partial(const Path& to) : file_(to.string() + ".partial-" + std::to_string(::getpid())) { remove(); }
  ~Partial() { remove(); }
  Partial(const Partial&) = delete;
  Partial& operator=(const Partial&) = delete;
  const Path& file() const { return file_; }

 private:
  void remove() {
    std::error_code ignored;
    for (const char* end : {"", "-journal", "-wal", "-shm"}) std::filesystem::remove(file_.string() + end, ignored);
  }
  Path file_;
};

void copy_pages(const Path& from, const Path& to) {
  make_private(to);
  const auto source = open_file(from);
  const auto copied = open_file(to);
  SQLite::Backup backup(*copied, *source);
  backup.executeStep(-1);  // in one go: with a write-ahead log, a reader stops no writer
}

// One whole file, without a log beside it, and sound.
void finish(const Path& file) {
  {
    const auto copied = open_file(file);
    copied->exec("PRAGMA journal_mode = DELETE");
    const auto verdict = copied->execAndGet("PRAGMA quick_check(1)").getString();
    if (verdict != "ok") throw std::runtime_error("the copy is damaged: " + verdict);
  }
  sync_file(file);
}

// Gives the name, unless somebody has it. Not every file system can do that in one step.
void name_it(const Path& partial, const Path& to) {
  if (::renameat2(AT_FDCWD, partial.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) != 0) {
    if (errno != EINVAL && errno != ENOSYS) throw std::system_error(errno, std::generic_category());
    if (std::filesystem::exists(to)) throw std::system_error(EEXIST, std::generic_category());
    std::filesystem::rename(partial, to);
  }
  sync_folder_of(to);
}

}  // namespace

Result<Done> backup_database(const Path& from, const Path& to) {
  return attempt("backing up " + from.string() + " to", to.string(), [&]() -> Result<Done> {
    const auto refuse = [&](const char* why) {
      return Error{Error::Kind::invalid, "backing up " + from.string() + " to", to.string(), why};
    };
    if (std::filesystem::exists(std::filesystem::symlink_status(to))) return refuse("there is such a file already");
    if (!std::filesystem::exists(from)) return refuse("there is no store");
    const auto kinship = kinship_of(*open_file(from));
    if (kinship != Kinship::ours && kinship != Kinship::newer) return refuse("that is no store");
    const Partial partial(to);
    copy_pages(from, partial.file());
    finish(partial.file());
    name_it(partial.file(), to);
    return Done{};
  });
}

}  // namespace frisket::store
