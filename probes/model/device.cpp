#include "probes/model/device.h"

namespace frisket::model {

std::optional<std::uint64_t> DeviceSnapshot::impressions() const {
  std::optional<std::uint64_t> sum;
  for (const auto& marker : markers)
    if (marker.counter_unit == CounterUnit::impressions && marker.life_count)
      sum = sum.value_or(0) + *marker.life_count;
  return sum;
}

}  // namespace frisket::model
