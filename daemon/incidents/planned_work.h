// Whether work is planned on a device now (config::Maintenance), in the local time of its site.
//
// Pure but for the system's time zone files, which are read on first use. One thread.
#pragma once

#include <map>
#include <string>

#include "config/config.h"
#include "probes/model/time.h"

namespace frisket::incidents {

class PlannedWork {
 public:
  // Copies what it needs.
  void configure(const config::Config& config);

  // A device or, with an empty name, the site as a whole.
  bool at(const std::string& site, const std::string& device, model::WallTime when);

 private:
  std::vector<config::Maintenance> plans_;
  std::map<std::string, std::string> zones_;  // by site
};

// Whether that plan's time is on at an instant in that zone. A local time that a change of the clocks
// leaves out is the instant of the change; of one that comes twice, the first counts.
bool is_on(const config::Maintenance& plan, const std::string& time_zone, model::WallTime when);

}  // namespace frisket::incidents
