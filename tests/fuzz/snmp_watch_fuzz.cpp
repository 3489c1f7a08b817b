// libFuzzer target: the answer to the cheap poll, put into the last snapshot.
#include "snmp_drivers.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  frisket::fuzz::drive_watch({data, size});
  return 0;
}
