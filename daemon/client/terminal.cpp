#include "daemon/client/terminal.h"

#include <pwd.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <string_view>

namespace frisket::client {
namespace {

std::string_view environment(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? std::string_view{} : value;
}

}  // namespace

Terminal standard_output() {
  constexpr std::size_t kLeastWidth = 20;
  Terminal out;
  out.is_terminal = ::isatty(STDOUT_FILENO) == 1;
  out.colour = out.is_terminal && environment("NO_COLOR").empty() && environment("TERM") != "dumb";
  ::winsize size{};
  if (out.is_terminal && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    out.width = std::max<std::size_t>(size.ws_col, kLeastWidth);
  return out;
}

bool can_ask() { return ::isatty(STDIN_FILENO) == 1 && ::isatty(STDERR_FILENO) == 1; }

bool ask_for_yes(const std::string& shown) {
  std::cerr << shown << std::flush;
  std::string answer;
  if (!std::getline(std::cin, answer)) std::cerr << '\n';  // the end of the input leaves the line open
  return answer == "yes";
}

std::string user_name() {
  const ::uid_t user = ::getuid();
  const ::passwd* entry = ::getpwuid(user);
  return entry != nullptr && *entry->pw_name != '\0' ? entry->pw_name : std::to_string(user);
}

}  // namespace frisket::client
