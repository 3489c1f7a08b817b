// A printer's own attributes as a DeviceSnapshot: the fields that SNMP would have filled.
//
// Sources: RFC 8011 section 5.4 (read); PWG 5100.9 printer-alert and PWG 5100.13 printer-supply,
// printer-input-tray, printer-output-tray (names read, syntax from memory); marker-* attributes
// (no standard known; common practice, no source). Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "probes/ipp/message.h"
#include "probes/model/device.h"

namespace frisket::ipp {

// What is asked for by name.
std::vector<std::string> device_attributes();

// What IPP has no words for (covers, console lights, media paths) stays empty. printer-state and its reasons
// become hrDeviceStatus and hrPrinterStatus as RFC 3805 section 2.2.13.2 pairs them, and alert rows where
// printer-alert has none of that group. Rows get the index the printer gives, else their place.
model::DeviceSnapshot device_from(const Group& printer);

}  // namespace frisket::ipp
