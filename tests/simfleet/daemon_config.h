// A frisketd configuration for a fleet, so that demo, tests and benchmarks need none by hand.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/simfleet/fleet.h"

namespace frisket::simfleet {

struct DaemonWishes {
  std::string listen;  // empty: the daemon's default
  std::string state_dir;
  std::string socket;
  std::string poll_interval = "10s";
  std::string hook_program;  // empty: no hook
  std::vector<std::string> hook_kinds;
};

// Writes `file` and, beside it, one file per community in use (mode 0600), which the
// configuration refers to. Throws FileError.
void write_daemon_config(const std::filesystem::path& file, const Fleet& fleet, std::uint16_t port,
                         const DaemonWishes& wishes);

// The configuration's text; `communities` gets the communities in the order of the
// credentials "sim-1", "sim-2", ...
std::string daemon_config(const Fleet& fleet, std::uint16_t port, const DaemonWishes& wishes,
                          const std::string& secret_prefix, std::vector<std::string>& communities);

}  // namespace frisket::simfleet
