#include "daemon/upkeep/observations.h"

#include <algorithm>

#include "daemon/upkeep/supply_kinds.h"

namespace frisket::upkeep {
namespace {

using model::SupplyType;
using std::chrono::days;

constexpr double kNearEnd = 15;  // percent of a life part
constexpr days kNew{3};
constexpr days kWeek{7};

// Whether any of those meant is so. Nothing where the device names none, or does not say how much of any is left.
template <class Means, class IsSo>
std::optional<bool> any_of_those_told(std::span<const SupplyNow> supplies, Means means, IsSo is_so) {
  std::optional<bool> found;
  for (const auto& supply : supplies)
    if (means(supply.type) && (supply.low || supply.percent)) found = found.value_or(false) || is_so(supply);
  return found;
}

std::optional<bool> any_low(std::span<const SupplyNow> supplies) {
  return any_of_those_told(supplies, is_put_on_paper, [](const SupplyNow& supply) { return supply.low; });
}

std::optional<bool> near_end(std::span<const SupplyNow> supplies, SupplyType type) {
  return any_of_those_told(
      supplies, [type](SupplyType other) { return other == type; },
      [](const SupplyNow& supply) { return supply.low || *supply.percent <= kNearEnd; });
}

void put(Known& known, const char* observation, std::optional<bool> so) {
  if (so) known[observation] = *so;
}

std::optional<bool> cleaning_overdue(const DeviceOutlook& outlook) {
  std::optional<bool> found;
  for (const auto& task : outlook.tasks)
    if (task.key == "dust" || task.key == "nozzle-check")
      found = found.value_or(false) || task.due == Due::due || task.due == Due::overdue;
  return found;
}

}  // namespace

bool is_inkjet(std::span<const SupplyNow> supplies) { return std::ranges::any_of(supplies, is_ink, &SupplyNow::type); }

Known known_of(const DeviceNow& device, WallTime now) {
  Known known;
  known["device-silent"] = device.silent;
  known["device-stopped"] = device.stopped;
  known["failed-before"] = device.complained_before;
  put(known, "jams-above-fleet", device.jams_above_fleet);
  if (device.heard) {
    known["tray-misload"] = device.tray_misload;
    known["supply-new"] = device.replaced_at && now - *device.replaced_at <= kNew;
    put(known, "drum-near-end", near_end(device.supplies, SupplyType::opc));
    put(known, "fuser-near-end", near_end(device.supplies, SupplyType::fuser));
    put(known, "transfer-near-end", near_end(device.supplies, SupplyType::transfer_unit));
  }
  if (!device.supplies.empty()) {
    put(known, "supply-low", any_low(device.supplies));
    known["inkjet"] = is_inkjet(device.supplies);
  }
  if (device.queues) {
    known["queue-stopped"] = device.queues->stopped;
    known["jobs-waiting"] = device.queues->jobs_waiting;
    known["driver-mismatch"] = device.queues->driver_mismatch;
  }
  if (device.outlook != nullptr) {
    put(known, "cleaning-overdue", cleaning_overdue(*device.outlook));
    if (device.outlook->printed_at) known["idle-week"] = device.outlook->seen - *device.outlook->printed_at >= kWeek;
  }
  return known;
}

}  // namespace frisket::upkeep
