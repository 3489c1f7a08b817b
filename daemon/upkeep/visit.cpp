#include "daemon/upkeep/visit.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/upkeep/cautions.h"
#include "daemon/upkeep/supply_kinds.h"
#include "probes/model/enums.h"

namespace frisket::upkeep {
namespace {

using model::SupplyType;

std::vector<std::string> cautions_for(SupplyType type) {
  std::vector<std::string> cautions{kManual};
  if (is_one_of(type, {SupplyType::fuser, SupplyType::fuser_oil, SupplyType::fuser_oil_wick,
                       SupplyType::fuser_cleaning_pad, SupplyType::fuser_oiler}))
    cautions.push_back(kHot);
  if (is_one_of(type, {SupplyType::toner, SupplyType::toner_cartridge, SupplyType::matte_toner, SupplyType::waste_toner,
                       SupplyType::developer, SupplyType::opc, SupplyType::transfer_unit}))
    cautions.push_back(kToner);
  if (is_ink(type)) cautions.push_back(kInk);
  return cautions;
}

std::vector<std::string> steps_for(const SupplyStated& supply) {
  if (supply.supply_class == model::SupplyClass::receptacle_that_is_filled)
    return {"Replace the container, or empty it if the maker's manual allows that.",
            "Close it for the way out, and dispose of it by local rules."};
  return {"Replace it if it is used up or the print is faded.",
          "Else leave the new one beside the device, for whoever is asked to replace it.",
          "Take the used one along for recycling."};
}

std::string name_of(const SupplyStated& supply) {
  const auto type = model::label(supply.type);
  if (supply.colorant.empty() || supply.type == SupplyType::unknown || supply.type == SupplyType::other)
    return !supply.description.empty() ? supply.description : type;
  return supply.colorant + " " + type;
}

std::string in_days(const DepletionForecast& forecast, WallTime now) {
  const auto days = [&](WallTime then) {
    return std::to_string(static_cast<long>(std::lround(std::max(0.0, days_between(now, then)))));
  };
  std::string text;
  if (forecast.p50) text = "in about " + days(*forecast.p50) + " days";
  if (forecast.p10 && forecast.p90) text += " (" + days(*forecast.p10) + " to " + days(*forecast.p90) + ")";
  if (text.empty() && forecast.p10) text = "in " + days(*forecast.p10) + " days at the earliest";
  return text;
}

std::string used_up(const SupplyOutlook& supply, double chance, WallTime now) {
  const bool fills = supply.what.supply_class == model::SupplyClass::receptacle_that_is_filled;
  return (fills ? "full " : "used up ") + in_days(supply.forecast, now) + "; before the next visit with " +
         std::to_string(static_cast<long>(std::lround(100 * chance))) + " %";
}

RoundTask task_of(const Trouble& trouble) {
  RoundTask task;
  task.key = trouble.incident;
  task.incident = trouble.incident;
  task.severity = trouble.severity;
  task.supply = trouble.supply;
  task.title = trouble.summary;
  task.minutes = minutes_for(trouble.training);
  task.value = value_of(trouble.severity);
  task.why = std::string("open incident, ") + std::string(to_text(trouble.severity));
  task.cautions = trouble.cautions;
  task.steps = trouble.steps;
  task.carry = trouble.carry;
  return task;
}

RoundTask task_of(const DeviceOutlook& device, const SupplyOutlook& supply, double chance, WallTime now) {
  const bool fills = supply.what.supply_class == model::SupplyClass::receptacle_that_is_filled;
  RoundTask task;
  task.key = device.name + "/supply:" + std::to_string(supply.what.supply);
  task.supply = supply.what.supply;
  task.title = (fills ? "Empty or replace: " : "Replace: ") + name_of(supply.what);
  task.minutes = kMinutesForSupply;
  task.value = kEmptySupply * chance;
  task.why = used_up(supply, chance, now);
  task.cautions = cautions_for(supply.what.type);
  task.steps = steps_for(supply.what);
  task.carry = {
      {supply.part.empty() ? name_of(supply.what) : supply.part, device.identity.maker, supply.what.colorant, 1}};
  return task;
}

RoundTask task_of(const DeviceOutlook& device, const TaskStatus& status, const ServiceTask& service) {
  RoundTask task;
  task.service = service_id(device.name, status.key);
  task.key = task.service;
  task.title = service.title;
  task.minutes = service.minutes;
  task.value = value_of(status);
  task.why = std::string(to_text(status.due)) + ": " + why(status, service);
  task.cautions = service.cautions;
  task.steps = service.steps;
  return task;
}

// A supply that is low is worth going to as soon as it may be used up, and can wait where it lasts. What has stopped
// the device, or is worse than low, does not wait for a forecast.
void add_troubles(RoundStop& stop, const VisitedDevice& device, WallTime now, WallTime next_visit) {
  for (const auto& trouble : device.troubles) {
    auto task = task_of(trouble);
    const auto* supply =
        trouble.supply && device.outlook != nullptr ? device.outlook->supply(*trouble.supply) : nullptr;
    if (supply != nullptr && !supply->forecast.no_date && trouble.severity <= model::Severity::minor) {
      const auto chance = chance_before(supply->forecast, now, next_visit);
      if (trouble.severity == model::Severity::warning && chance < kLeastChance) continue;
      task.value = std::max(task.value, kEmptySupply * chance);
      task.why += ", " + used_up(*supply, chance, now);
    }
    stop.tasks.push_back(std::move(task));
  }
}

void add_supplies(RoundStop& stop, const VisitedDevice& device, WallTime now, WallTime next_visit) {
  for (const auto& supply : device.outlook->supplies) {
    const bool named =
        std::ranges::any_of(device.troubles, [&](const auto& trouble) { return trouble.supply == supply.what.supply; });
    const auto chance = chance_before(supply.forecast, now, next_visit);
    if (!named && chance >= kLeastChance) stop.tasks.push_back(task_of(*device.outlook, supply, chance, now));
  }
}

void add_service(RoundStop& stop, const VisitedDevice& device) {
  for (const auto& status : device.outlook->tasks) {
    if (status.due == Due::later) continue;
    const auto task = std::ranges::find(device.tasks, status.key, &ServiceTask::key);
    if (task != device.tasks.end()) stop.tasks.push_back(task_of(*device.outlook, status, *task));
  }
}

}  // namespace

double minutes_for(model::Training training) {
  switch (training) {
    case model::Training::untrained:
      return 5;
    case model::Training::trained:
      return 15;
    case model::Training::field_service:
      return 10;  // to look, and to call who may
    default:
      return 10;
  }
}

std::vector<RoundStop> stops_of(std::span<const VisitedDevice> devices, WallTime now, WallTime next_visit) {
  std::vector<RoundStop> stops;
  for (const auto& device : devices) {
    RoundStop stop{device.name, location_from(device.location), {}};
    add_troubles(stop, device, now, next_visit);
    if (device.outlook != nullptr) {
      add_supplies(stop, device, now, next_visit);
      add_service(stop, device);
    }
    if (!stop.tasks.empty()) stops.push_back(std::move(stop));
  }
  return stops;
}

}  // namespace frisket::upkeep
