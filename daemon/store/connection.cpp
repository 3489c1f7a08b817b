#include "daemon/store/connection.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "daemon/store/schema.h"

namespace frisket::store {
namespace {

class Descriptor {
 public:
  Descriptor(const std::filesystem::path& file, int flags) : number_(::open(file.c_str(), flags | O_CLOEXEC, 0600)) {
    if (number_ < 0) throw std::system_error(errno, std::generic_category(), file.string());
  }
  ~Descriptor() { ::close(number_); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }

 private:
  int number_;
};

void sync(const std::filesystem::path& path, int flags) {
  const Descriptor descriptor(path, flags);
  if (::fsync(descriptor.number()) != 0) throw std::system_error(errno, std::generic_category(), path.string());
}

}  // namespace

void make_private(const std::filesystem::path& file) {
  if (!std::filesystem::exists(file)) {
    const Descriptor made(file, O_RDWR | O_CREAT | O_EXCL);
    sync_folder_of(file);
    return;
  }
  using std::filesystem::perms;
  const auto mode = std::filesystem::status(file).permissions();
  const auto others = perms::group_all | perms::others_all;
  if ((mode & others) != perms::none) std::filesystem::permissions(file, mode & ~others);
}

std::unique_ptr<SQLite::Database> open_file(const std::filesystem::path& file) {
  return std::make_unique<SQLite::Database>(file.string(), SQLite::OPEN_READWRITE, kBusyMilliseconds);
}

void set_up(SQLite::Database& database) {
  if (sqlite3_db_readonly(database.getHandle(), "main") != 0)
    throw SQLite::Exception("the file can be read but not written", SQLITE_READONLY);
  const std::string mode = database.execAndGet("PRAGMA journal_mode = WAL").getString();
  if (mode != "wal") throw SQLite::Exception("no write-ahead log can be kept beside it", SQLITE_CANTOPEN);
  database.exec("PRAGMA synchronous = FULL");
  database.exec("PRAGMA foreign_keys = ON");
}

Kinship kinship_of(SQLite::Database& database) {
  const int id = database.execAndGet("PRAGMA application_id").getInt();
  const int version = database.execAndGet("PRAGMA user_version").getInt();
  if (id == kApplicationId) return version > newest_schema() ? Kinship::newer : Kinship::ours;
  const bool has_tables = database.execAndGet("SELECT count(*) FROM sqlite_master").getInt() > 0;
  return id == 0 && version == 0 && !has_tables ? Kinship::empty : Kinship::foreign;
}

void sync_file(const std::filesystem::path& file) { sync(file, O_RDONLY); }

void sync_folder_of(const std::filesystem::path& file) {
  sync(file.has_parent_path() ? file.parent_path() : ".", O_RDONLY | O_DIRECTORY);
}

}  // namespace frisket::store
