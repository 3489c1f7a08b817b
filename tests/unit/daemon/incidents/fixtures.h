// A small fleet for the incident tests: devices with trays, covers and supplies, and an
// instant to start from. Invented throughout.
#pragma once

#include <memory>
#include <string>

#include "daemon/incidents/correlator.h"
#include "probes/model/reading.h"

namespace frisket::incidents::testing {

using namespace std::chrono_literals;

inline constexpr WallTime kMorning = std::chrono::sys_days{std::chrono::year{2026} / 3 / 2} + 8h;

inline config::Config one_device() {
  config::Config config;
  config.sites = {{"glasshouse", "Europe/Dublin"}};
  config::Device device;
  device.name = "herbarium-copier";
  device.address = "127.0.0.1";
  device.site = "glasshouse";
  config.devices = {device};
  return config;
}

inline model::Input tray(std::int32_t index, std::string media = "iso-a4-white") {
  model::Input input;
  input.index = index;
  input.type = model::InputType::sheet_feed_auto_removable_tray;
  input.unit = model::CapacityUnit::sheets;
  input.max_capacity = model::Amount{500};
  input.current_level = model::Amount{300};
  input.status.availability = model::SubunitStatus::Availability::idle;
  input.name = "Tray " + std::to_string(index);
  input.media_name = std::move(media);
  return input;
}

inline model::Supply toner(std::int32_t index, std::string colorant, std::int32_t percent) {
  model::Supply supply;
  supply.index = index;
  supply.marker_index = 1;
  supply.colorant_index = index;
  supply.supply_class = model::SupplyClass::supply_that_is_consumed;
  supply.type = model::SupplyType::toner_cartridge;
  supply.description = colorant + " toner cartridge QX-" + std::to_string(700 + index) + "A";
  supply.colorant = std::move(colorant);
  supply.unit = model::SupplyUnit::percent;
  supply.max_capacity = model::Amount{100};
  supply.level = model::Amount{percent};
  return supply;
}

inline model::Cover cover(std::int32_t index, std::string description) {
  return {index, std::move(description), model::CoverStatus::cover_closed};
}

// A laser printer with two trays of the same paper, two covers and a black cartridge; idle.
inline model::DeviceSnapshot healthy() {
  model::DeviceSnapshot snapshot;
  snapshot.host.description = "Quillon LX 4100";
  snapshot.host.device = model::HostDeviceStatus::running;
  snapshot.host.printer = model::HostPrinterStatus::idle;
  snapshot.host.errors = model::ErrorBits{};
  snapshot.covers = {cover(1, "Front cover"), cover(2, "Rear cover")};
  snapshot.inputs = {tray(1), tray(2)};
  model::Output bin;
  bin.index = 1;
  bin.max_capacity = model::Amount{250};
  bin.remaining_capacity = model::Amount{250};
  bin.status.availability = model::SubunitStatus::Availability::idle;
  bin.name = "Top bin";
  snapshot.outputs = {bin};
  model::Marker marker;
  marker.index = 1;
  marker.mark_tech = model::MarkTech::electrophotographic_laser;
  marker.life_count = 120345;
  marker.status.availability = model::SubunitStatus::Availability::idle;
  snapshot.markers = {marker};
  snapshot.supplies = {toner(1, "black", 80)};
  model::MediaPath path;
  path.index = 1;
  path.status.availability = model::SubunitStatus::Availability::idle;
  snapshot.media_paths = {path};
  return snapshot;
}

inline model::Alert alert(model::AlertSeverity severity, model::AlertGroup group, std::int32_t group_index,
                          model::AlertCode code, std::string description = "") {
  model::Alert row;
  row.index = 1;
  row.severity = severity;
  row.group = group;
  row.group_index = group_index;
  row.code = code;
  row.description = std::move(description);
  return row;
}

inline model::DeviceReading reading(model::DeviceSnapshot snapshot, WallTime at) {
  model::DeviceReading reading;
  reading.device = "herbarium-copier";
  reading.at = at;
  reading.reach = model::Reach::answered;
  reading.snapshot = std::make_shared<const model::DeviceSnapshot>(std::move(snapshot));
  return reading;
}

inline model::DeviceReading missed(WallTime at, model::Reach reach = model::Reach::silent) {
  model::DeviceReading reading;
  reading.device = "herbarium-copier";
  reading.at = at;
  reading.reach = reach;
  reading.detail = "no answer in 3 attempts";
  return reading;
}

}  // namespace frisket::incidents::testing
