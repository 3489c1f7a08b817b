// Which machine a device is: maker, model, serial number, firmware, and whether they have changed.
//
// The standards give the serial number a field of its own; the others are put together from what
// there is. Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "probes/model/device.h"

namespace frisket::model {

// An IEEE 1284 device id, "MFG:Quillon;MDL:LX 4100;CMD:PS,PCL;". Keys in full or short
// (MANUFACTURER, MFG; MODEL, MDL; COMMAND SET, CMD), in any case and order; the first of a key counts.
// The keys of the serial number (SN, SERN, SERIALNUMBER) are common practice, no source.
struct DeviceId {
  std::string manufacturer;
  std::string model;
  std::vector<std::string> command_set;  // at most 32
  std::string serial;
  friend bool operator==(const DeviceId&, const DeviceId&) = default;
};
DeviceId parse_device_id(std::string_view text);

// The id of this printer among those that its agent serves; empty when there is none.
std::string_view device_id_of(const DeviceSnapshot& device);

struct Identity {
  std::string maker;     // from the device id, else guessed from hrDeviceDescr
  std::string model;     // likewise
  std::string serial;    // prtGeneralSerialNumber, else from the device id
  std::string firmware;  // the versions of the interpreters, else what sysDescr has after "firmware"
  friend bool operator==(const Identity&, const Identity&) = default;
};
Identity identity_of(const DeviceSnapshot& device);

// What has changed from one snapshot to a later one of the same device. Something that was not said in
// one of the two has not changed.
struct IdentityChange {
  bool serial = false;
  bool firmware = false;
  explicit operator bool() const { return serial || firmware; }
};
IdentityChange change_of(const Identity& before, const Identity& now);

// Whether both say the same in everything that identity_of() looks at. Cheap, and mostly so.
bool same_sources(const DeviceSnapshot& before, const DeviceSnapshot& now);

}  // namespace frisket::model
