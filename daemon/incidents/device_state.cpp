#include "daemon/incidents/device_state.h"

#include <algorithm>

#include "daemon/incidents/kinds.h"

namespace frisket::incidents {

using model::HostDeviceStatus;
using model::HostPrinterStatus;

std::string_view to_text(DeviceState state) {
  switch (state) {
    case DeviceState::ready:
      return "ready";
    case DeviceState::busy:
      return "busy";
    case DeviceState::attention:
      return "attention";
    case DeviceState::stopped:
      return "stopped";
    case DeviceState::silent:
      return "silent";
    case DeviceState::unknown:
      return "unknown";
  }
  return "unknown";
}

DeviceState state_of(const model::DeviceSnapshot& snapshot, const std::vector<Condition>& conditions) {
  const auto& host = snapshot.host;
  const bool warming_up = host.printer == HostPrinterStatus::warmup;
  const auto critical = [](const Condition& condition) { return condition.severity == Severity::critical; };
  const auto asks = [](const Condition& condition) { return kind_of(condition.keyword).problem; };
  if (std::ranges::any_of(conditions, critical)) return DeviceState::stopped;
  if (host.device == HostDeviceStatus::down && !warming_up) return DeviceState::stopped;
  if (std::ranges::any_of(conditions, asks)) return DeviceState::attention;
  if (warming_up || host.printer == HostPrinterStatus::printing || host.device == HostDeviceStatus::testing)
    return DeviceState::busy;
  if (host.device == HostDeviceStatus::unknown && host.printer == HostPrinterStatus::unknown)
    return DeviceState::unknown;
  return DeviceState::ready;
}

}  // namespace frisket::incidents
