// The settings of a scenario: the configuration of its site, and when it begins.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "config/config.h"
#include "line.h"

namespace frisket::scenarios {

inline constexpr std::string_view kPrinterName = "printer";

// 2026-03-02 08:00 UTC, a Monday.
inline constexpr model::WallTime kBegins =
    std::chrono::sys_days{std::chrono::year{2026} / 3 / 2} + std::chrono::hours{8};

struct Settings {
  Settings();

  // A line of the section "settings".
  void set(Line& line);

  // The printer's own entry in the configuration.
  config::Device& printer() { return config.devices.front(); }

  config::Config config;
  model::WallTime begins = kBegins;     // what 00:00 means
  std::vector<std::string> neighbours;  // the other devices of the site

 private:
  bool set_time(const std::string& what, Line& line);
  void set_neighbours(Line& line);
  void set_maintenance(Line& line);
};

}  // namespace frisket::scenarios
