// libFuzzer target: what an agent answered, decoded.
#include "snmp_drivers.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  frisket::fuzz::drive_reading({data, size});
  return 0;
}
