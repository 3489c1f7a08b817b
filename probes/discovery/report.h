// What discovery prints: configuration, or JSON.
//
// Everything that came from a device is escaped here, for TOML strings, TOML comments and JSON.
// The TOML is accepted by config::load as it is, alone or appended to the configuration that was
// given. Pure; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "config/config.h"
#include "probes/discovery/found.h"
#include "probes/discovery/scan.h"

namespace frisket::discovery {

// A printer with its place in the configuration.
struct Item {
  std::string name;
  std::string credential;      // the name of the one that worked
  std::string same_serial_as;  // an item before this one that may be the same machine; empty: none
  Found found;
};

struct Report {
  std::vector<Item> items;
  std::vector<Found> others;  // what answers and is no printer
  std::uint16_t port = 161;
  std::string site;
  bool new_site = false;  // the configuration has it not
  // A credential that the configuration has not, with its file; written only if one of the items
  // uses it.
  std::string new_credential;
  config::SnmpVersion new_credential_version = config::SnmpVersion::v2c;
  std::string community_file;  // absolute
  Tally tally;
  std::uint64_t skipped = 0;  // addresses that are configured already
  bool complete = true;       // false: interrupted
};

// Sorts what was found by address and gives each printer its name. `configured` may be null;
// `credentials` are those that were tried, in their order.
Report make_report(std::vector<Found> found, const config::Config* configured,
                   const std::vector<config::Credential>& credentials);

std::string to_toml(const Report& report);
std::string to_json(const Report& report);

// One TOML string with its quotes, on one line.
std::string toml_text(const std::string& text);

}  // namespace frisket::discovery
