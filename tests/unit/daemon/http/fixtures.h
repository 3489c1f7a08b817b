// A small fleet for the HTTP tests.
#pragma once

#include <memory>
#include <string>

#include "daemon/http/fleet_board.h"

namespace frisket::testing {

inline const auto kEight = *model::from_rfc3339("2026-01-05T08:00:00Z");

inline config::Device device(std::string name, std::string site) {
  config::Device made;
  made.name = std::move(name);
  made.address = "127.0.0.10";
  made.site = std::move(site);
  made.location = "first floor";
  return made;
}

// Two sites; "alpine-house" comes before "glasshouse" by name, after it by configuration.
inline config::Config two_sites() {
  config::Config config;
  config.sites = {{"glasshouse", "Europe/Dublin"}, {"alpine-house", "Europe/Zurich"}};
  config.devices = {device("herbarium-copier", "glasshouse"), device("library-laser", "glasshouse"),
                    device("seed-bank/label", "alpine-house")};
  return config;
}

inline model::Supply toner(std::int32_t index, std::int32_t left) {
  model::Supply supply;
  supply.index = index;
  supply.type = model::SupplyType::toner;
  supply.level = model::Amount{left};
  supply.max_capacity = model::Amount{100};
  return supply;
}

inline incidents::DeviceStatus answered(incidents::DeviceState state, std::vector<model::Supply> supplies = {},
                                        model::WallTime at = kEight) {
  model::DeviceSnapshot snapshot;
  snapshot.supplies = std::move(supplies);
  incidents::DeviceStatus status;
  status.state = state;
  status.reach = model::Reach::answered;
  status.last_reading_at = at;
  status.snapshot = std::make_shared<const model::DeviceSnapshot>(std::move(snapshot));
  return status;
}

inline incidents::Condition low_toner(std::int32_t index) {
  incidents::Condition condition;
  condition.keyword = "toner-low";
  condition.subunit = {model::Subunit::Kind::supply, index};
  condition.since = kEight;
  return condition;
}

inline incidents::Incident incident(std::string id, model::Severity severity, std::string device = "herbarium-copier",
                                    std::string site = "glasshouse", std::string kind = "media-jam") {
  incidents::Incident made;
  made.id = std::move(id);
  made.kind = std::move(kind);
  made.device = std::move(device);
  made.site = std::move(site);
  made.severity = severity;
  made.raised_at = kEight;
  made.changed_at = kEight;
  made.summary = "Paper is jammed in Tray 2";
  return made;
}

inline incidents::Transition raised(incidents::Incident incident) {
  return {incidents::Transition::What::raised, kEight, std::move(incident)};
}

inline incidents::Transition cleared(incidents::Incident incident) {
  incident.state = incidents::Incident::State::cleared;
  incident.cleared_at = kEight;
  return {incidents::Transition::What::cleared, kEight, std::move(incident)};
}

}  // namespace frisket::testing
