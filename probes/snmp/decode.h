// From what an agent answered to what the device says: raw values to the model.
//
// Whatever the values are, the result is bounded and valid: what is missing stays
// absent, what has the wrong type is left out and noted among the gaps, numbers that no edition
// of the standards lists survive as they are. Pure; any thread.
#pragma once

#include <array>
#include <bitset>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/device.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/printer_mib.h"
#include "probes/snmp/table_walk.h"

namespace frisket::snmp {

// hrPrinterDetectedErrorState has bits for two octets (RFC 3805); more than these many are no set of bits.
inline constexpr std::size_t kMostErrorOctets = 8;

// Some of mib::tables, by place.
using TableSet = std::bitset<mib::tables.size()>;

// Everything that one poll brought, as it came.
struct RawReading {
  std::array<Value, mib::scalars.size()> scalars;
  std::array<TableRows, mib::tables.size()> tables;
  std::vector<std::string> notes;  // in words for a person
  std::uint32_t host_index = 0;    // hrDeviceIndex of the printer; 0: not known

  const Value& operator[](mib::scalar::Id id) const { return scalars[id]; }
  const TableRows& operator[](mib::TableId id) const { return tables[static_cast<std::size_t>(id)]; }
  TableRows& operator[](mib::TableId id) { return tables[static_cast<std::size_t>(id)]; }

  // Whether there is any value in it at all.
  bool empty() const;
};

// `before` is the last reading of the same device, or null: a table that was interrupted
// this time is taken from there, with a gap that says so, so that a lost datagram does not look
// like an alert that cleared.
model::DeviceSnapshot decode(const RawReading& raw, const model::DeviceSnapshot* before);

// Whether most of what the agent answered to the questions of `raw` for single objects is of another type
// than theirs, or about other objects: then nothing that it says can be believed. `decoded` is
// what decode() made of it.
bool is_nonsense(const RawReading& raw, const model::DeviceSnapshot& decoded);

// Only these tables were read; all else is as before. The scalars of `raw` are not looked at.
model::DeviceSnapshot decode_tables(const RawReading& raw, TableSet read, const model::DeviceSnapshot& before);

// A line of the console, in the charset that this device's console uses.
std::string console_text(std::string_view octets, const model::DeviceSnapshot& device);

}  // namespace frisket::snmp
