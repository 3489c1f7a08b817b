#include "daemon/hooks/filter.h"

#include <algorithm>
#include <string>

#include "probes/model/ascii.h"

namespace frisket::hooks {
namespace {

template <class List, class Value>
bool lets_through(const List& filter, const Value& value) {
  return filter.empty() || std::ranges::find(filter, value) != filter.end();
}

bool wants_kind(const std::vector<std::string>& kinds, const incidents::Incident& incident) {
  return kinds.empty() ||
         std::ranges::any_of(kinds, [&](const auto& kind) { return incidents::concerns(incident, kind); });
}

bool wants_colorant(const std::vector<std::string>& colorants, const incidents::Incident& incident) {
  if (colorants.empty()) return true;
  return std::ranges::any_of(incident.remedy.carry, [&](const incidents::CarriedPart& part) {
    return std::ranges::find(colorants, model::in_lower_case(part.colorant)) != colorants.end();
  });
}

}  // namespace

bool wants(const config::Hook& hook, const incidents::Incident& incident) {
  return wants_kind(hook.kinds, incident) && lets_through(hook.sites, incident.site) &&
         lets_through(hook.devices, incident.device.value_or("")) && lets_through(hook.trainings, incident.training) &&
         (!hook.severity || incident.severity >= *hook.severity) && wants_colorant(hook.colorants, incident);
}

}  // namespace frisket::hooks
