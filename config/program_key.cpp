#include "config/program_key.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>

namespace frisket::config {
namespace {

// What keeps a program from being run, or nothing.
std::string obstacle(const std::filesystem::path& program, struct stat& status) {
  if (!program.is_absolute()) return "not absolute";
  if (::stat(program.c_str(), &status) != 0) return std::generic_category().message(errno);
  if (!S_ISREG(status.st_mode)) return "not a regular file";
  if (::faccessat(AT_FDCWD, program.c_str(), X_OK, AT_EACCESS) != 0) return "not executable";
  return {};
}

}  // namespace

std::filesystem::path program_from(Section& section, std::string_view key) {
  std::filesystem::path program = section.text(key);
  if (program.empty()) return program;
  struct stat status {};
  const auto trouble = obstacle(program, status);
  if (!trouble.empty())
    section.refuse(key, in_quotes(program.string()) + " (" + trouble + ")", "the absolute path of an executable file");
  else if (status.st_mode & S_IWOTH)
    section.warn(key,
                 in_quotes(program.string()) + " can be changed by everybody on this machine; chmod o-w ends that");
  return program;
}

}  // namespace frisket::config
