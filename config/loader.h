// From a TOML file to a Config, or to everything that is wrong with it.
//
// Used by frisketd at start, at reload (SIGHUP) and for --check: the same code. Reads
// files (the configuration and the secrets it points at); never the network. Main
// thread, at start or between polls.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "config/config.h"

namespace frisket::config {

// One thing that is wrong, or worth saying. line and column count from 1; 0 where the
// trouble has no place in the file (the file cannot be opened).
struct Finding {
  enum class Gravity { error, warning };

  Gravity gravity = Gravity::error;
  std::string file;
  int line = 0;
  int column = 0;
  std::string what;  // "device.poll_interval: found \"soon\", allowed: a duration such as \"30s\""

  // "frisket.toml:12:17: error: ..."
  std::string text() const;
};

struct Loaded {
  Config config;                  // meaningful only if ok()
  std::vector<Finding> findings;  // in order of place; every error at once, not just the first
  bool ok() const;
};

// Relative paths inside the file are taken from the file's own folder.
Loaded load(const std::filesystem::path& file);

// The same from text, for tests and fuzzing; `file` is only named in findings and used
// as the base of relative paths.
Loaded load_text(std::string_view toml, const std::filesystem::path& file);

}  // namespace frisket::config
