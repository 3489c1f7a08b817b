// Which time zones this machine knows. Private to the layer.
#pragma once

#include <filesystem>
#include <map>
#include <string>

namespace frisket::config {

// Looks into the system's zone files, once for each zone; reads only their first bytes.
class TimeZones {
 public:
  explicit TimeZones(std::filesystem::path folder = "/usr/share/zoneinfo");

  // The zone files are installed at all (Debian: tzdata). Where they are not, no zone can be checked.
  bool installed() const { return installed_; }

  // `name` is_zone_name() (syntax.h). The variants under posix/ and right/ are no zones of their own.
  bool knows(const std::string& name);

 private:
  std::filesystem::path folder_;
  bool installed_;
  std::map<std::string, bool> asked_;
};

}  // namespace frisket::config
