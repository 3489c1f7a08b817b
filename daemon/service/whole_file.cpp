#include "daemon/service/whole_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

namespace frisket::service {
namespace {

using model::Error;

Error cannot_write(const std::filesystem::path& file) {
  return {Error::Kind::local, "writing", file.string(), std::generic_category().message(errno)};
}

}  // namespace

model::Result<model::Done> write_whole(const std::filesystem::path& file, const std::string& text) {
  const auto beside = file.string() + ".new";
  const int descriptor = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
  if (descriptor < 0) return cannot_write(beside);
  const bool written =
      ::write(descriptor, text.data(), text.size()) == static_cast<ssize_t>(text.size()) && ::fsync(descriptor) == 0;
  if (!written) {
    auto failed = cannot_write(beside);
    ::close(descriptor);
    return failed;
  }
  ::close(descriptor);
  if (::rename(beside.c_str(), file.c_str()) != 0) return cannot_write(file);
  const int folder = ::open(file.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0) return cannot_write(file);
  const bool kept = ::fsync(folder) == 0;
  auto outcome = kept ? model::Result<model::Done>(model::Done{}) : cannot_write(file);
  ::close(folder);
  return outcome;
}

}  // namespace frisket::service
