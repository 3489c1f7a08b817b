// What to ask: which objects, at which indices. Pure.
//
// Kept apart from what is known (decode.h), so that asking less, because only little has
// moved, changes this file and not the other.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "probes/snmp/pdu.h"
#include "probes/snmp/printer_mib.h"

namespace frisket::snmp {

// The rows that are this printer. Usually 1, not always: an agent that serves several
// devices numbers them as it likes.
struct DeviceIndex {
  std::uint32_t host = 1;     // in hrDeviceTable and hrPrinterTable
  std::uint32_t printer = 1;  // in the Printer MIB
  friend bool operator==(const DeviceIndex&, const DeviceIndex&) = default;
};

// Names for the GETNEXT that finds the printer's index, and what its answer says. Nothing when
// the agent has neither an hrDeviceTable row of type printer first, an hrPrinterTable row, nor a
// prtGeneralTable row: it is then no printer.
std::vector<Oid> index_names();
std::optional<DeviceIndex> index_from(const std::vector<VarBind>& answer);

// The name of one scalar on this printer, and the names for the GET of all, in the order of mib::scalars.
Oid scalar_name(mib::scalar::Id id, DeviceIndex index);
std::vector<Oid> scalar_names(DeviceIndex index);

}  // namespace frisket::snmp
