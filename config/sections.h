// One function for each group of sections. Private to the layer.
//
// Each reads what concerns it, fills its part of the Config and adds what is wrong to the
// findings; none stops at the first error. Names are registered even where the rest of their
// section is wrong, so that one mistake does not show as many.
#pragma once

#include <toml++/toml.h>

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "config/config.h"
#include "config/findings.h"
#include "config/section.h"

namespace frisket::config {

// The names of one kind of section, and where each was given first.
class Names {
 public:
  explicit Names(std::string_view section) : section_(section) {}

  // Takes the name that `section.name` holds. A second section of that name is refused, with
  // the place of the first.
  void add(Section& section, const std::string& name);

  // The one name, if there is exactly one.
  std::optional<std::string> only() const;

  // Whether some section has the name; if not, that is a finding at `place`.
  bool check(std::string_view referrer, const std::string& name, Place place, Findings& findings) const;

 private:
  std::string_view section_;
  std::unordered_map<std::string, Place> first_;
};

// What is shared while one file is read.
struct Reading {
  const toml::table& root;
  std::filesystem::path folder;  // of the configuration: base of relative paths
  Findings& findings;
  Names sites{"site"};
  Names credentials{"credential"};
  Names devices{"device"};
  Names spoolers{"spooler"};
  Names queues{"queue"};
  Names suppliers{"supplier"};

  std::filesystem::path resolved(const std::string& path) const { return folder / path; }
};

// The sections written [[name]]; what is there but is not of that form is a finding.
std::vector<const toml::table*> repeated(const Reading& reading, std::string_view name);

// The section written [name]; null if absent or of another form, which is a finding.
const toml::table* single(const toml::table& parent, std::string_view name, std::string_view shown, Findings& findings);

// Also what the file of tokens says, if there is to be one.
Daemon read_daemon(Reading& reading, std::optional<std::vector<Token>>& tokens,
                   std::optional<Certificate>& certificate);
Polling read_polling(Reading& reading);
Notifications read_notifications(Reading& reading);  // after credentials
Rules read_rules(Reading& reading);
Store read_store(Reading& reading);
std::vector<Site> read_sites(Reading& reading);              // before devices and hooks
std::vector<Credential> read_credentials(Reading& reading);  // before devices
std::vector<Device> read_devices(Reading& reading);
std::vector<Spooler> read_spoolers(Reading& reading);  // after sites
std::vector<Queue> read_queues(Reading& reading, const std::vector<Spooler>& spoolers,
                               const std::vector<Device>& devices);
std::vector<Maintenance> read_maintenance(Reading& reading);  // after devices
std::vector<Holiday> read_holidays(Section& site);
std::vector<Supplier> read_suppliers(Reading& reading);  // before parts
std::vector<Part> read_parts(Reading& reading);
std::vector<Task> read_tasks(Reading& reading);  // after devices
std::vector<Hook> read_hooks(Reading& reading);  // after sites and devices

}  // namespace frisket::config
