// One device seen two ways: what the second says fills what the first leaves open.
//
// The first is the one that knows more, as a rule SNMP with the Printer MIB; its rows keep their indices. Both speak of
// the same subunits by the same index (PWG 5100.13 takes the printer's indices from RFC 3805), and a row of a supply is
// only filled from one of the same type and colorant. Pure; any thread.
#pragma once

#include "probes/model/device.h"

namespace frisket::model {

DeviceSnapshot merged(const DeviceSnapshot& first, const DeviceSnapshot& second);

}  // namespace frisket::model
