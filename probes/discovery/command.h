// `frisketd discover`: from arguments to what is printed.
#pragma once

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

namespace frisket::discovery {

struct Command {
  std::vector<std::string> ranges;
  std::filesystem::path config_file;  // empty: none
  std::filesystem::path community_file;
  std::string version = "2c";  // for the community file: "1" or "2c"
  std::string site;
  std::uint16_t port = 161;
  int rate = 100;
  bool many = false;  // more than kManyAddresses are meant
  bool json = false;
};

// Exit status of frisketd.
inline constexpr int kDone = 0;
inline constexpr int kUsage = 2;

// Asks, writes what was found to `out` and everything else to `err`. SIGINT and SIGTERM end the
// asking early; what was found is written all the same. Runs an io_context of its own on the
// calling thread.
int run(const Command& command, std::ostream& out, std::ostream& err, bool err_is_terminal);

}  // namespace frisket::discovery
