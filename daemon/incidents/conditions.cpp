#include "daemon/incidents/conditions.h"

#include <algorithm>
#include <tuple>

#include "daemon/incidents/claims.h"
#include "daemon/incidents/history.h"
#include "daemon/incidents/second_voices.h"
#include "daemon/incidents/witnesses.h"

namespace frisket::incidents {

std::string condition_key(std::string_view keyword, const Subunit& subunit) {
  return std::string(keyword) + "@" + model::to_text(subunit);
}

namespace {

void keep_since(std::vector<Condition>& conditions, const DeviceMemory& before) {
  for (auto& condition : conditions)
    for (const auto& earlier : before.conditions)
      if (earlier.keyword == condition.keyword && earlier.subunit == condition.subunit) condition.since = earlier.since;
}

bool in_order(const Condition& a, const Condition& b) {
  return std::tie(a.subunit, a.keyword) < std::tie(b.subunit, b.keyword);
}

std::map<std::int32_t, double> known_levels(const model::DeviceSnapshot& snapshot, const DeviceMemory& before) {
  std::map<std::int32_t, double> levels;
  for (const auto& supply : snapshot.supplies) {
    if (const auto percent = supply.percent())
      levels[supply.index] = *percent;
    else if (const auto known = before.percent.find(supply.index); known != before.percent.end())
      levels.insert(*known);
  }
  return levels;
}

}  // namespace

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
  hear_console(derived.conditions, snapshot);
  hear_contradictions(derived.conditions, snapshot, rules);
  keep_since(derived.conditions, before);
  auto follows = conditions_of_history(derived.conditions, snapshot, rules, before, at, derived.memory);
  keep_since(follows, before);
  std::ranges::move(follows, std::back_inserter(derived.conditions));
  std::ranges::sort(derived.conditions, in_order);
  derived.memory.conditions = derived.conditions;
  derived.memory.percent = known_levels(snapshot, before);
  derived.memory.reach = before.reach;
  derived.memory.replaced = before.replaced;
  return derived;
}

}  // namespace frisket::incidents
