// libFuzzer target: notifications.
#include "snmp_drivers.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  frisket::fuzz::drive_notification({data, size});
  return 0;
}
