// What a device tells by itself: RFC 3805's alert, when a critical row comes into its alert table.
//
// Only critical rows (RFC 3805 section 6, printerV2Alert: warnings and what is over send nothing). Pure.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "tests/simfleet/device.h"
#include "tests/simfleet/message.h"

namespace frisket::simfleet {

// The datagram: a Trap-PDU (RFC 1157 section 4.1.6) in version 1, an SNMPv2-Trap-PDU (RFC 3416
// section 4.2.6) in version 2c. `request_id` is of the latter.
std::string alert_trap(Version version, const Device& device, const AlertAdded& alert, std::int32_t request_id);

}  // namespace frisket::simfleet
