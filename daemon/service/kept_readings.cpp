#include "daemon/service/kept_readings.h"

#include <cmath>

#include "daemon/incidents/conditions.h"

namespace frisket::service {
namespace {

constexpr double kPercentStep = 5;  // of a supply

bool moved(const std::map<std::int32_t, double>& before, const std::map<std::int32_t, double>& now) {
  if (before.size() != now.size()) return true;
  for (const auto& [index, percent] : now) {
    const auto known = before.find(index);
    if (known == before.end() || std::abs(known->second - percent) >= kPercentStep) return true;
  }
  return false;
}

}  // namespace

bool KeptReadings::wants(const model::DeviceReading& reading, const incidents::DeviceStatus& status,
                         const incidents::DeviceMemory& memory, bool told, int silent_after) {
  Said said;
  for (const auto& condition : status.conditions)
    said.conditions.push_back(incidents::condition_key(condition.keyword, condition.subunit) + " " +
                              std::string(model::to_text(condition.severity)));
  said.percent = memory.percent;
  said.interface_errors = memory.reach.interface_errors;
  said.missed = memory.reach.missed;
  auto& last = last_[reading.device];
  const bool counts_misses = said.missed != last.missed && said.missed <= silent_after + 1;
  if (!told && !counts_misses && said.conditions == last.conditions && said.interface_errors == last.interface_errors &&
      !moved(last.percent, said.percent))
    return false;
  last = std::move(said);
  return true;
}

}  // namespace frisket::service
