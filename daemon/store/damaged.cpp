#include "daemon/store/damaged.h"

#include <algorithm>

#include "daemon/store/connection.h"
#include "daemon/store/recovery.h"

namespace frisket::store {
namespace {

using Path = std::filesystem::path;

Path beside(const Path& file, const std::string& end) { return file.string() + end; }

// "20261125T080000Z"
std::string compact(model::WallTime instant) {
  std::string text = model::to_rfc3339(instant);
  text.resize(text.find('.'));
  std::erase_if(text, [](char c) { return c == '-' || c == ':'; });
  return text + "Z";
}

Path free_name(const Path& file, model::WallTime now) {
  const auto name = beside(file, ".damaged-" + compact(now));
  Path free = name;
  for (int number = 2; std::filesystem::exists(free); ++number) free = beside(name, "-" + std::to_string(number));
  return free;
}

void remove_database(const Path& file) {
  for (const char* end : {"", "-wal", "-shm", "-journal"}) std::filesystem::remove(beside(file, end));
}

}  // namespace

// The log is moved before the database: a log beside another database would be played into that.
void finish_exchange(const Path& file, model::WallTime now, Findings& findings) {
  const auto recovered = beside(file, ".recovered");
  if (!std::filesystem::exists(recovered)) return;
  const auto aside = free_name(file, now);
  if (std::filesystem::exists(beside(file, "-wal")))
    std::filesystem::rename(beside(file, "-wal"), beside(aside, "-wal"));
  std::filesystem::remove(beside(file, "-shm"));
  if (std::filesystem::exists(file)) std::filesystem::rename(file, aside);
  sync_folder_of(file);
  std::filesystem::rename(recovered, file);
  sync_folder_of(file);
  findings.push_back("the damaged store was moved to " + aside.string());
}

void replace_damaged(const Path& file, model::WallTime now, Findings& findings) {
  const auto unfinished = beside(file, ".recovering");
  remove_database(unfinished);
  make_private(unfinished);
  recover(file, unfinished, findings);
  sync_file(unfinished);
  std::filesystem::rename(unfinished, beside(file, ".recovered"));
  finish_exchange(file, now, findings);
}

}  // namespace frisket::store
