// Which readings are worth keeping: those that changed something that the rules look at.
//
// Replayed into a correlator, they raise and clear what the whole course of readings did. Steady polls, and
// levels that sink by a page, are left out: they would fill a disk. Pure; one thread.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "daemon/incidents/correlator.h"
#include "probes/model/reading.h"

namespace frisket::service {

class KeptReadings {
 public:
  // `status` and `memory` are as they are after the reading; `told` is whether it changed an incident.
  bool wants(const model::DeviceReading& reading, const incidents::DeviceStatus& status,
             const incidents::DeviceMemory& memory, bool told, int silent_after);

 private:
  // What the last kept one of a device said.
  struct Said {
    std::vector<std::string> conditions;
    std::map<std::int32_t, double> percent;  // of supplies, by index
    std::optional<std::uint64_t> interface_errors;
    int missed = 0;
  };

  std::map<std::string, Said> last_;  // by device
};

}  // namespace frisket::service
