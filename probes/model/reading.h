// A reading: what one probe learnt of one device at one instant. Immutable.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "probes/model/device.h"
#include "probes/model/time.h"

namespace frisket::model {

// How the device met the poll. The technician acts differently on each.
enum class Reach {
  answered,
  silent,        // no answer in any attempt: off, unplugged, wrong address
  refused,       // an answer, but no rights
  unknown_user,  // it has no SNMPv3 user of this name
  wrong_key,     // it has the user, but with another password or algorithm
  nonsense,      // an answer that is not the protocol
};

std::string_view to_text(Reach reach);  // "answered", "silent", "refused", "unknown-user", "wrong-key", "nonsense"

struct DeviceReading {
  std::string device;  // the configured name
  WallTime at;         // when the answer was complete, or when the probe gave up
  Reach reach = Reach::silent;
  std::string detail;  // for people, when reach is not answered: "no answer in 3 attempts"
  // Whole state of the device; null unless it answered. Shared by everybody downstream,
  // changed by nobody.
  std::shared_ptr<const DeviceSnapshot> snapshot;
};

}  // namespace frisket::model
