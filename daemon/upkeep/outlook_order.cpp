// The order list of a fleet: which supplies take which part.
#include <algorithm>

#include "daemon/upkeep/outlook.h"

namespace frisket::upkeep {
namespace {

// A part that nobody has configured, as the device names it.
Part part_of(const SupplyOutlook& supply, const DeviceOutlook& device, const Supplier& supplier) {
  Part part;
  part.number = supply.part;
  part.maker = device.identity.maker;
  part.description = supply.what.description;
  part.colorant = supply.what.colorant;
  part.supplier = supplier;
  return part;
}

}  // namespace

std::vector<OrderLine> order_of(const OutlookSetup& setup,
                                const std::map<std::string, std::shared_ptr<const DeviceOutlook>>& devices,
                                WallTime now) {
  std::map<std::string, PartDemand> demands;  // by part number
  for (const auto& [number, part] : setup.parts) demands[number].part = part;
  for (const auto& [name, device] : devices) {
    for (const auto& supply : device->supplies) {
      if (supply.part.empty()) continue;
      auto [entry, fresh] = demands.try_emplace(supply.part);
      if (fresh) entry->second.part = part_of(supply, *device, setup.supplier);
      entry->second.uses.push_back({name, supply.forecast, supply.whole_lasts});
    }
  }
  for (const auto& [number, stock] : setup.stock) {
    auto [entry, fresh] = demands.try_emplace(number);
    if (fresh) entry->second.part.number = number;
    entry->second.stock = stock;
  }
  std::vector<PartDemand> list;
  for (auto& [number, demand] : demands) {
    const bool stocked = demand.stock.on_shelf > 0 || demand.stock.on_order > 0;
    if (stocked || !demand.uses.empty()) list.push_back(std::move(demand));
  }
  return order_list(list, now);
}

}  // namespace frisket::upkeep
