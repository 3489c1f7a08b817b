// The witnesses of one reading, each in a function (and a file) of its own.
//
// They are heard in the order in which they are declared here: a later one may look at
// what the earlier have claimed. Only conditions.cpp calls them.
#pragma once

#include "config/config.h"
#include "daemon/incidents/claims.h"
#include "daemon/incidents/conditions.h"
#include "probes/model/device.h"

namespace frisket::incidents {

// What there is to hear, and where to write it down.
struct Hearing {
  const model::DeviceSnapshot& snapshot;
  const config::Rules& rules;
  const DeviceMemory& before;
  WallTime at;
  Claims& claims;
  DeviceMemory& after;
};

void hear_alert_rows(Hearing& hearing);   // prtAlertTable
void hear_covers(Hearing& hearing);       // prtCoverStatus
void hear_supplies(Hearing& hearing);     // levels against thresholds
void hear_inputs(Hearing& hearing);       // levels and status of trays
void hear_outputs(Hearing& hearing);      // room left
void hear_error_bits(Hearing& hearing);   // hrPrinterDetectedErrorState
void hear_memory(Hearing& hearing);       // what was said before and is not yet disproved
void hear_status(Hearing& hearing);       // what the subunits' status leaves unexplained
void hear_host_status(Hearing& hearing);  // a stop that nothing explains

// Whether the snapshot itself shows that a condition of an earlier reading is over.
bool is_disproved(const Condition& earlier, const model::DeviceSnapshot& snapshot, const config::Rules& rules);

// The threshold for that supply.
const config::SupplyThreshold& threshold_for(const model::Supply& supply, const config::Rules& rules);

}  // namespace frisket::incidents
