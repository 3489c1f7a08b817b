#include "daemon/hooks/child.h"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>
#include <utility>

namespace frisket::hooks {
namespace {

// Closes what it holds. A descriptor of 0 to 2, which a daemon started without standard
// descriptors may get, would be overwritten before it is used: it is moved out of the way.
class Descriptor {
 public:
  explicit Descriptor(int descriptor = -1) : descriptor_(descriptor) {
    if (descriptor_ < 0 || descriptor_ > STDERR_FILENO) return;
    descriptor_ = ::fcntl(descriptor, F_DUPFD_CLOEXEC, STDERR_FILENO + 1);
    ::close(descriptor);
  }
  ~Descriptor() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  Descriptor(Descriptor&& other) noexcept : descriptor_(other.release()) {}
  Descriptor& operator=(Descriptor&&) = delete;

  bool ok() const { return descriptor_ >= 0; }
  int get() const { return descriptor_; }
  int release() { return std::exchange(descriptor_, -1); }

 private:
  int descriptor_;
};

class FileActions {
 public:
  FileActions() { ::posix_spawn_file_actions_init(&actions_); }
  ~FileActions() { ::posix_spawn_file_actions_destroy(&actions_); }
  FileActions(const FileActions&) = delete;
  FileActions& operator=(const FileActions&) = delete;
  posix_spawn_file_actions_t* get() { return &actions_; }

 private:
  posix_spawn_file_actions_t actions_;
};

class Attributes {
 public:
  Attributes() { ::posix_spawnattr_init(&attributes_); }
  ~Attributes() { ::posix_spawnattr_destroy(&attributes_); }
  Attributes(const Attributes&) = delete;
  Attributes& operator=(const Attributes&) = delete;
  posix_spawnattr_t* get() { return &attributes_; }

 private:
  posix_spawnattr_t attributes_;
};

model::Error failure(const Program& program, std::string_view doing, int code) {
  return {model::Error::Kind::local, std::string(doing), program.file.string(), std::generic_category().message(code)};
}

bool write_all(int descriptor, std::string_view content) {
  while (!content.empty()) {
    const auto written = ::write(descriptor, content.data(), content.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return false;
    content.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

// A file in memory, to be read from its beginning.
Descriptor input_file(std::string_view content) {
  Descriptor file(::memfd_create("notice", MFD_CLOEXEC));
  if (!file.ok() || !write_all(file.get(), content) || ::lseek(file.get(), 0, SEEK_SET) != 0) return Descriptor{};
  return file;
}

std::vector<char*> pointers(const std::vector<std::string>& texts, const std::string* first = nullptr) {
  std::vector<char*> list;
  if (first) list.push_back(const_cast<char*>(first->c_str()));
  for (const auto& text : texts) list.push_back(const_cast<char*>(text.c_str()));
  list.push_back(nullptr);
  return list;
}

// 0, or the error number; the first call that fails decides.
int prepare(FileActions& actions, Attributes& attributes, int input, int output) {
  sigset_t all;
  sigset_t none;
  ::sigfillset(&all);
  ::sigemptyset(&none);
  const int flags = POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK;
  for (const int code : {
           ::posix_spawn_file_actions_adddup2(actions.get(), input, STDIN_FILENO),
           ::posix_spawn_file_actions_adddup2(actions.get(), output, STDOUT_FILENO),
           ::posix_spawn_file_actions_adddup2(actions.get(), output, STDERR_FILENO),
           ::posix_spawn_file_actions_addclosefrom_np(actions.get(), STDERR_FILENO + 1),
           ::posix_spawn_file_actions_addchdir_np(actions.get(), "/"),
           ::posix_spawnattr_setflags(attributes.get(), static_cast<short>(flags)),
           ::posix_spawnattr_setpgroup(attributes.get(), 0),
           ::posix_spawnattr_setsigdefault(attributes.get(), &all),
           ::posix_spawnattr_setsigmask(attributes.get(), &none),
       })
    if (code != 0) return code;
  return 0;
}

}  // namespace

model::Result<Child> start(const Program& program) {
  const Descriptor input = input_file(program.input);
  if (!input.ok()) return failure(program, "holding the notice for", errno);
  int ends[2] = {-1, -1};
  if (::pipe2(ends, O_CLOEXEC) != 0) return failure(program, "opening a pipe for", errno);
  Descriptor ours(ends[0]);
  const Descriptor theirs(ends[1]);
  if (!ours.ok() || !theirs.ok() || ::fcntl(ours.get(), F_SETFL, O_NONBLOCK) != 0)
    return failure(program, "opening a pipe for", errno);

  FileActions actions;
  Attributes attributes;
  if (const int code = prepare(actions, attributes, input.get(), theirs.get()); code != 0)
    return failure(program, "preparing the start of", code);
  const std::string name = program.file.string();
  const auto arguments = pointers(program.arguments, &name);
  const auto environment = pointers(program.environment);
  Child child;
  const int code =
      ::posix_spawn(&child.pid, name.c_str(), actions.get(), attributes.get(), arguments.data(), environment.data());
  if (code != 0) return failure(program, "starting", code);

  // By number: glibc 2.36 declares pidfd_open() without C linkage.
  Descriptor exit(static_cast<int>(::syscall(SYS_pidfd_open, child.pid, 0)));
  if (!exit.ok()) {
    const int reason = errno;
    ::kill(-child.pid, SIGKILL);
    ::waitpid(child.pid, nullptr, 0);
    return failure(program, "watching", reason);
  }
  child.exit = exit.release();
  child.output = ours.release();
  return child;
}

}  // namespace frisket::hooks
