#include "config/secret_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

namespace frisket::config {
namespace {

constexpr std::size_t kLargestSecret = 4096;

class OpenFile {
 public:
  explicit OpenFile(const std::filesystem::path& file)
      : descriptor_(::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY)) {}
  ~OpenFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  int descriptor() const { return descriptor_; }

 private:
  int descriptor_;
};

model::Error failure(const std::filesystem::path& file, std::string what) {
  return {model::Error::Kind::local, "reading the file", file.string(), std::move(what)};
}

std::string last_error() { return std::generic_category().message(errno); }

void drop_line_end(std::string& content) {
  if (content.ends_with('\n')) content.pop_back();
  if (content.ends_with('\r')) content.pop_back();
}

}  // namespace

model::Result<GuardedFile> read_guarded(const std::filesystem::path& file, std::size_t largest) {
  const OpenFile open(file);
  if (open.descriptor() < 0) return failure(file, last_error());
  struct stat status {};
  if (::fstat(open.descriptor(), &status) != 0) return failure(file, last_error());
  if (!S_ISREG(status.st_mode)) return failure(file, "not a regular file");

  GuardedFile guarded;
  guarded.others_may_read = (status.st_mode & S_IROTH) != 0;
  guarded.others_may_write = (status.st_mode & S_IWOTH) != 0;
  guarded.content.resize(largest + 1);  // one more than allowed, so that too much shows
  std::size_t have = 0;
  while (have < guarded.content.size()) {
    const auto got = ::read(open.descriptor(), guarded.content.data() + have, guarded.content.size() - have);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return failure(file, last_error());
    if (got == 0) break;
    have += static_cast<std::size_t>(got);
  }
  if (have > largest) return failure(file, "larger than " + std::to_string(largest) + " bytes");
  guarded.content.resize(have);
  return guarded;
}

model::Result<GuardedFile> read_secret(const std::filesystem::path& file) {
  auto secret = read_guarded(file, kLargestSecret);
  if (!secret) return secret;
  drop_line_end(secret->content);
  if (secret->content.empty()) return failure(file, "empty");
  return secret;
}

}  // namespace frisket::config
