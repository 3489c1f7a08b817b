// After SQLite's own description of a file layer (sqlite3.h, "OS Interface Object" and "OS Interface Open File
// Handle").
#include "faulty_disk.h"

#include <fcntl.h>
#include <signal.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <map>
#include <new>
#include <random>
#include <string>
#include <vector>

namespace frisket::store::testing {
namespace {

constexpr sqlite3_int64 kSector = 512;

// One write that was not synced yet.
struct Write {
  sqlite3_int64 at = 0;
  sqlite3_int64 size_before = 0;  // of the file
  std::vector<char> before;       // shorter than `after` beyond the file's end
  std::vector<char> after;
};

[[noreturn]] void die() {
  ::kill(::getpid(), SIGKILL);
  while (true) ::pause();
}

}  // namespace

struct FaultyDisk::State {
  sqlite3_vfs layer{};
  sqlite3_vfs* real = nullptr;
  Plan plan;
  std::uint64_t calls = 0;
  std::map<std::string, std::vector<Write>> unsynced;  // by path

  bool is_faulty_now() {
    ++calls;
    if (plan.fault == Fault::none) return false;
    return plan.lasting ? calls >= plan.at : calls == plan.at;
  }
  bool kills() const {
    return plan.fault == Fault::killed || plan.fault == Fault::killed_halfway || plan.fault == Fault::power_cut;
  }
  // Ends the process if that is planned, else says whether the call fails.
  bool fails() {
    if (!is_faulty_now()) return false;
    if (plan.fault == Fault::power_cut) cut_power();
    if (kills()) die();
    return true;
  }

  void cut_power() {
    std::mt19937 luck(plan.luck);
    for (const auto& [path, writes] : unsynced) {
      const int file = ::open(path.c_str(), O_RDWR | O_CLOEXEC);
      if (file >= 0) lose_some(file, writes, luck);
    }
  }

  // All are taken back, and those that had reached the disk are written again.
  static void lose_some(int file, const std::vector<Write>& writes, std::mt19937& luck) {
    for (auto write = writes.rbegin(); write != writes.rend(); ++write) {
      put(file, write->before, write->at, write->before.size());
      if (::ftruncate(file, write->size_before) != 0) die();
    }
    for (const auto& write : writes) {
      switch (luck() % 4) {
        case 0:
        case 1:
          put(file, write.after, write.at, write.after.size());
          break;
        case 2:
          put(file, write.after, write.at, std::min<std::size_t>(write.after.size(), kSector * (luck() % 8)));
          break;
        default:  // lost
          break;
      }
    }
  }

  static void put(int file, const std::vector<char>& octets, sqlite3_int64 at, std::size_t count) {
    if (::pwrite(file, octets.data(), count, at) != static_cast<ssize_t>(count)) die();
  }
};

namespace {

using State = FaultyDisk::State;

// SQLite gives the room for it, and for the real file behind it.
struct File {
  sqlite3_file base;
  State* state;
  const char* path;  // SQLite's, for as long as the file is open; null for a file without a name
  sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};

File& of(sqlite3_file* file) { return *reinterpret_cast<File*>(file); }
sqlite3_file* real(sqlite3_file* file) { return of(file).real(); }
const sqlite3_io_methods& methods(sqlite3_file* file) { return *real(file)->pMethods; }

void remember(File& file, const void* octets, int count, sqlite3_int64 at) {
  if (file.path == nullptr) return;
  Write write;
  write.at = at;
  file.real()->pMethods->xFileSize(file.real(), &write.size_before);
  const auto old = std::max<sqlite3_int64>(0, std::min<sqlite3_int64>(count, write.size_before - at));
  write.before.resize(static_cast<std::size_t>(old));
  if (old > 0) file.real()->pMethods->xRead(file.real(), write.before.data(), static_cast<int>(old), at);
  write.after.assign(static_cast<const char*>(octets), static_cast<const char*>(octets) + count);
  file.state->unsynced[file.path].push_back(std::move(write));
}

int write(sqlite3_file* file, const void* octets, int count, sqlite3_int64 at) {
  auto& state = *of(file).state;
  const auto fault = state.plan.fault;
  if (fault == Fault::killed_halfway || fault == Fault::no_room) {
    if (state.is_faulty_now()) {
      methods(file).xWrite(real(file), octets, count / 2, at);
      if (fault == Fault::killed_halfway) die();
      return SQLITE_FULL;
    }
  } else if (state.fails()) {
    return SQLITE_IOERR_WRITE;
  }
  if (fault == Fault::power_cut) remember(of(file), octets, count, at);
  return methods(file).xWrite(real(file), octets, count, at);
}

int sync(sqlite3_file* file, int) {
  auto& state = *of(file).state;
  if (state.fails() && state.plan.fault == Fault::broken) return SQLITE_IOERR_FSYNC;
  if (of(file).path != nullptr) state.unsynced.erase(of(file).path);
  return SQLITE_OK;
}

// Cuts and removals reach the disk at once here, with what was written before them.
int truncate(sqlite3_file* file, sqlite3_int64 size) {
  auto& state = *of(file).state;
  if (state.fails() && state.plan.fault == Fault::broken) return SQLITE_IOERR_TRUNCATE;
  if (of(file).path != nullptr) state.unsynced.erase(of(file).path);
  return methods(file).xTruncate(real(file), size);
}

int remove(sqlite3_vfs* layer, const char* path, int sync_folder) {
  auto& state = *static_cast<State*>(layer->pAppData);
  if (state.fails() && state.plan.fault == Fault::broken) return SQLITE_IOERR_DELETE;
  state.unsynced.erase(path);
  return state.real->xDelete(state.real, path, sync_folder);
}

const sqlite3_io_methods kMethods = {
    .iVersion = 2,
    .xClose = [](sqlite3_file* file) { return methods(file).xClose(real(file)); },
    .xRead = [](sqlite3_file* file, void* to, int count,
                sqlite3_int64 at) { return methods(file).xRead(real(file), to, count, at); },
    .xWrite = write,
    .xTruncate = truncate,
    .xSync = sync,
    .xFileSize = [](sqlite3_file* file, sqlite3_int64* size) { return methods(file).xFileSize(real(file), size); },
    .xLock = [](sqlite3_file* file, int level) { return methods(file).xLock(real(file), level); },
    .xUnlock = [](sqlite3_file* file, int level) { return methods(file).xUnlock(real(file), level); },
    .xCheckReservedLock = [](sqlite3_file* file, int* is) { return methods(file).xCheckReservedLock(real(file), is); },
    .xFileControl = [](sqlite3_file* file, int what,
                       void* value) { return methods(file).xFileControl(real(file), what, value); },
    .xSectorSize = [](sqlite3_file* file) { return methods(file).xSectorSize(real(file)); },
    // It promises that octets beside a write stay as they are; a power cut here keeps to that.
    .xDeviceCharacteristics = [](sqlite3_file* file) { return methods(file).xDeviceCharacteristics(real(file)); },
    .xShmMap = [](sqlite3_file* file, int page, int size, int extend,
                  void volatile** to) { return methods(file).xShmMap(real(file), page, size, extend, to); },
    .xShmLock = [](sqlite3_file* file, int at, int count,
                   int flags) { return methods(file).xShmLock(real(file), at, count, flags); },
    .xShmBarrier = [](sqlite3_file* file) { methods(file).xShmBarrier(real(file)); },
    .xShmUnmap = [](sqlite3_file* file, int remove) { return methods(file).xShmUnmap(real(file), remove); },
    .xFetch = nullptr,
    .xUnfetch = nullptr,
};

int open(sqlite3_vfs* layer, const char* path, sqlite3_file* room, int flags, int* flags_given) {
  auto& state = *static_cast<State*>(layer->pAppData);
  room->pMethods = nullptr;
  int there = 1;
  if (path != nullptr) state.real->xAccess(state.real, path, SQLITE_ACCESS_EXISTS, &there);
  if ((flags & SQLITE_OPEN_CREATE) != 0 && there == 0 && state.fails()) return SQLITE_CANTOPEN;
  auto* file = new (room) File{{}, &state, path};
  const int code = state.real->xOpen(state.real, path, file->real(), flags, flags_given);
  if (file->real()->pMethods != nullptr) file->base.pMethods = &kMethods;
  return code;
}

}  // namespace

FaultyDisk::FaultyDisk() : state_(std::make_unique<State>()) {
  state_->real = sqlite3_vfs_find(nullptr);
  state_->layer = *state_->real;
  state_->layer.zName = "faulty-disk";
  state_->layer.szOsFile = static_cast<int>(sizeof(File)) + state_->real->szOsFile;
  state_->layer.pAppData = state_.get();
  state_->layer.xOpen = open;
  state_->layer.xDelete = remove;
  sqlite3_vfs_register(&state_->layer, 1);
}

FaultyDisk::~FaultyDisk() { sqlite3_vfs_unregister(&state_->layer); }

void FaultyDisk::plan(Plan plan) {
  state_->plan = plan;
  state_->calls = 0;
}

std::uint64_t FaultyDisk::calls() const { return state_->calls; }

}  // namespace frisket::store::testing
