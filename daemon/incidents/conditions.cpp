#include "daemon/incidents/conditions.h"

#include "daemon/incidents/claims.h"
#include "daemon/incidents/witnesses.h"

namespace frisket::incidents {

std::string condition_key(std::string_view keyword, const Subunit& subunit) {
  return std::string(keyword) + "@" + model::to_text(subunit);
}

Derived derive(const model::DeviceSnapshot& snapshot, const config::Rules& rules, const DeviceMemory& before,
               WallTime at) {
  Claims claims;
  Derived derived;
  Hearing hearing{snapshot, rules, before, at, claims, derived.memory};
  hear_alert_rows(hearing);
  hear_covers(hearing);
  hear_supplies(hearing);
  hear_inputs(hearing);
  hear_outputs(hearing);
  hear_error_bits(hearing);
  hear_memory(hearing);
  hear_status(hearing);
  hear_host_status(hearing);
  derived.conditions = settle(claims, snapshot, at);
  for (auto& condition : derived.conditions)
    for (const auto& earlier : before.conditions)
      if (earlier.keyword == condition.keyword && earlier.subunit == condition.subunit) condition.since = earlier.since;
  derived.memory.conditions = derived.conditions;
  return derived;
}

}  // namespace frisket::incidents
