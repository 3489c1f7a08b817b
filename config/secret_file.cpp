#include "config/secret_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

namespace frisket::config {
namespace {

constexpr std::size_t kLargest = 4096;

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
  return {model::Error::Kind::local, "reading the secret", file.string(), std::move(what)};
}

std::string last_error() { return std::generic_category().message(errno); }

void drop_line_end(std::string& content) {
  if (content.ends_with('\n')) content.pop_back();
  if (content.ends_with('\r')) content.pop_back();
}

}  // namespace

model::Result<Secret> read_secret(const std::filesystem::path& file) {
  const OpenFile open(file);
  if (open.descriptor() < 0) return failure(file, last_error());
  struct stat status {};
  if (::fstat(open.descriptor(), &status) != 0) return failure(file, last_error());
  if (!S_ISREG(status.st_mode)) return failure(file, "not a regular file");

  Secret secret;
  secret.others_may_read = (status.st_mode & S_IROTH) != 0;
  secret.content.resize(kLargest + 1);  // one more than allowed, so that too much shows
  std::size_t have = 0;
  while (have < secret.content.size()) {
    const auto got = ::read(open.descriptor(), secret.content.data() + have, secret.content.size() - have);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return failure(file, last_error());
    if (got == 0) break;
    have += static_cast<std::size_t>(got);
  }
  if (have > kLargest) return failure(file, "larger than 4096 bytes");
  secret.content.resize(have);
  drop_line_end(secret.content);
  if (secret.content.empty()) return failure(file, "empty");
  return secret;
}

}  // namespace frisket::config
