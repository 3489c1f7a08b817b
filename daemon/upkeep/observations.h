// What is known of a device without asking anybody, as a complaint's diagnosis wants it (complaint.h). Pure; any
// thread.
#pragma once

#include <optional>
#include <vector>

#include "daemon/upkeep/complaint.h"
#include "daemon/upkeep/outlook.h"
#include "daemon/upkeep/service_plan.h"

namespace frisket::upkeep {

// Of the queues that print on it, where there are any.
struct QueuesNow {
  bool stopped = false;
  bool jobs_waiting = false;
  bool driver_mismatch = false;
};

struct SupplyNow {
  model::SupplyType type = model::SupplyType::unknown;
  bool low = false;
  std::optional<double> percent{};  // nothing: not known
};

struct DeviceNow {
  bool heard = false;  // since the daemon started
  bool silent = false;
  bool stopped = false;  // by an incident that is open
  bool tray_misload = false;
  std::vector<SupplyNow> supplies;
  std::optional<QueuesNow> queues;
  std::optional<WallTime> replaced_at;     // the last time, of what goes on paper
  std::optional<bool> jams_above_fleet;    // compare_jams(); nothing: too few sheets
  bool complained_before = false;          // of the same symptom, in the last month
  const DeviceOutlook* outlook = nullptr;  // null: not made yet
};

bool is_inkjet(std::span<const SupplyNow> supplies);

// Only what is known: an observation that is not in it may be so or not.
Known known_of(const DeviceNow& device, WallTime now);

}  // namespace frisket::upkeep
