#include "daemon/http/device_metrics.h"

#include <array>

#include "daemon/http/open_metrics.h"
#include "probes/model/identity.h"

namespace frisket::http {
namespace {

using incidents::DeviceState;

constexpr std::array kStates = {DeviceState::ready,   DeviceState::busy,   DeviceState::attention,
                                DeviceState::stopped, DeviceState::silent, DeviceState::unknown};

// A state set has a sample for each of its states, with the set's own name as the label.
std::string states_of(const std::string& device, DeviceState now) {
  std::string lines;
  for (const auto state : kStates)
    append_sample(lines, "frisket_device_state",
                  metric_labels({{"device", device}, {"frisket_device_state", to_text(state)}}),
                  std::uint64_t{state == now ? 1U : 0U});
  return lines;
}

std::string supplies_of(const std::string& device, const model::DeviceSnapshot& said) {
  std::string lines;
  for (const auto& supply : said.supplies) {
    const auto percent = supply.percent();
    if (!percent) continue;
    append_sample(lines, "frisket_supply_remaining_ratio",
                  metric_labels({{"device", device},
                                 {"supply", std::to_string(supply.index)},
                                 {"type", label(supply.type)},
                                 {"colorant", supply.colorant}}),
                  *percent / 100.0);
  }
  return lines;
}

}  // namespace

DeviceMetrics device_metrics(const config::Device& device, const incidents::DeviceStatus& status) {
  static const model::DeviceSnapshot kNothingKnown;
  const auto& said = status.snapshot ? *status.snapshot : kNothingKnown;
  const auto identity = model::identity_of(said);
  DeviceMetrics metrics;
  append_sample(metrics.info, "frisket_device_info",
                metric_labels({{"device", device.name},
                               {"site", device.site},
                               {"location", device.location},
                               {"maker", identity.maker},
                               {"model", identity.model},
                               {"serial", identity.serial}}),
                std::uint64_t{1});
  metrics.states = states_of(device.name, status.state);
  if (const auto count = said.impressions())
    append_sample(metrics.impressions, "frisket_device_impressions_total", metric_labels({{"device", device.name}}),
                  *count);
  metrics.supplies = supplies_of(device.name, said);
  return metrics;
}

}  // namespace frisket::http
