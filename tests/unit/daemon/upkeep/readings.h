// A copier of the botanical garden, as its readings tell of it.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>

#include "daemon/upkeep/recorder.h"
#include "moments.h"

namespace readings {

using namespace frisket;

struct Copier {
  std::uint32_t count = 52000;
  std::string serial = "QL7731";
  std::map<std::int32_t, std::int32_t> levels{{1, 80}};
  std::int32_t capacity = 100;
  std::map<std::int32_t, std::string> descriptions{{1, "Black toner QX-701A"}};
  std::string colorant = "black";
  std::optional<std::uint32_t> colour_count{};

  model::DeviceReading at(model::WallTime when) const {
    auto snapshot = std::make_shared<model::DeviceSnapshot>();
    model::Marker marker;
    marker.index = 1;
    marker.life_count = count;
    snapshot->markers = {marker};
    snapshot->general.serial_number = serial;
    snapshot->colour_impressions = colour_count;
    for (const auto& [index, level] : levels) {
      model::Supply supply;
      supply.index = index;
      supply.supply_class = model::SupplyClass::supply_that_is_consumed;
      supply.type = model::SupplyType::toner;
      supply.colorant = colorant;
      if (const auto found = descriptions.find(index); found != descriptions.end()) supply.description = found->second;
      supply.max_capacity = model::decode_capacity(capacity);
      supply.level = model::decode_level(level);
      snapshot->supplies.push_back(std::move(supply));
    }
    return {"herbarium-copier", when, model::Reach::answered, "", std::move(snapshot)};
  }
  model::DeviceReading at(const std::string& when) const { return at(moments::at(when)); }
};

inline model::DeviceReading missed(const std::string& when) {
  return {"herbarium-copier", moments::at(when), model::Reach::silent, "no answer in 3 attempts", nullptr};
}

// The counts among them.
inline std::vector<std::uint32_t> counts_of(const upkeep::Changes& changes) {
  std::vector<std::uint32_t> counts;
  for (const auto& change : changes)
    if (const auto* count = std::get_if<upkeep::CountChange>(&change.what)) counts.push_back(count->count);
  return counts;
}

template <class T>
std::vector<model::WallTime> times_of(const upkeep::Changes& changes) {
  std::vector<model::WallTime> times;
  for (const auto& change : changes)
    if (std::holds_alternative<T>(change.what)) times.push_back(change.at);
  return times;
}

}  // namespace readings
