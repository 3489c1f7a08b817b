#include "daemon/upkeep/fleet_reliability.h"

#include <algorithm>
#include <functional>
#include <utility>

namespace frisket::upkeep {
namespace {

constexpr std::string_view kJam = "media-jam";

IncidentSpan span_of(const PastIncident& incident) {
  return {incident.kind, incident.from, incident.to, incident.down};
}

// The most first.
std::vector<PlaceJams> places_of(const std::map<std::string, std::int64_t>& jams) {
  std::vector<PlaceJams> places;
  for (const auto& [place, count] : jams) places.push_back({place, count});
  std::ranges::stable_sort(places, std::ranges::greater{}, &PlaceJams::jams);
  return places;
}

void compare_devices(FleetReliability& fleet) {
  std::vector<JamRecord> records;
  for (const auto& [name, device] : fleet.devices)
    if (device.sheets > 0) records.push_back({name, device.jams, device.sheets});
  for (auto& figure : compare_jams(records)) {
    const auto name = figure.name;
    fleet.devices[name].jam = std::move(figure);
  }
}

using ByKindAndDevice = std::map<std::string, std::map<std::string, std::vector<IncidentSpan>>>;

std::vector<KindReliability> kinds_of(const Outlook& outlook, const ByKindAndDevice& spans, Span window) {
  Milliseconds observed{0};
  for (const auto& [name, device] : outlook.devices) observed += observed_time(device->unobserved, window);
  std::vector<KindReliability> kinds;
  for (const auto& [kind, of_devices] : spans) {
    std::vector<DeviceIncidents> devices;
    for (const auto& [name, incidents] : of_devices)
      if (const auto found = outlook.devices.find(name); found != outlook.devices.end())
        devices.push_back({incidents, found->second->unobserved});
    if (!devices.empty()) kinds.push_back({kind, repair_figures(devices, observed, window)});
  }
  return kinds;
}

// A model's jams against those of all other models; where there is but one, against nothing.
std::vector<ModelReliability> compare_models(const FleetReliability& fleet) {
  std::map<std::pair<std::string, std::string>, ModelReliability> models;
  for (const auto& [name, device] : fleet.devices) {
    const auto& identity = device.identity;
    if (identity.model.empty()) continue;
    auto& model = models[{identity.maker, identity.model}];
    model.maker = identity.maker;
    model.model = identity.model;
    ++model.devices;
    model.jams += device.jams;
    model.sheets += device.sheets;
  }
  std::vector<ModelReliability> found;
  std::vector<JamRecord> records;
  for (auto& [key, model] : models) {
    // The name is the place in the list: what devices call themselves may be anything.
    if (model.sheets > 0) records.push_back({std::to_string(found.size()), model.jams, model.sheets});
    found.push_back(std::move(model));
  }
  for (auto& figure : compare_jams(records)) {
    auto& model = found[std::stoul(figure.name)];
    figure.name = model.model;
    model.jam = std::move(figure);
  }
  return found;
}

}  // namespace

FleetReliability fleet_reliability(const Outlook& outlook, std::span<const PastIncident> incidents, WallTime now) {
  FleetReliability fleet{{now - kLately, now}, {}, {}, {}};
  std::map<std::string, std::vector<IncidentSpan>> of_device;
  ByKindAndDevice of_kind;
  std::map<std::string, std::map<std::string, std::int64_t>> jams_at;  // by device and place
  for (const auto& incident : incidents) {
    if (incident.from > now || (incident.to && *incident.to <= fleet.window.from)) continue;
    of_device[incident.device].push_back(span_of(incident));
    of_kind[incident.kind][incident.device].push_back(span_of(incident));
    if (incident.kind == kJam && incident.from >= fleet.window.from) ++jams_at[incident.device][incident.place];
  }
  for (const auto& [name, device] : outlook.devices) {
    auto& mine = fleet.devices[name];
    const auto& spans = of_device[name];
    mine.device = name;
    mine.identity = device->identity;
    mine.places = places_of(jams_at[name]);
    for (const auto& place : mine.places) mine.jams += place.jams;
    mine.sheets = device->lately;
    mine.availability = availability(spans, device->unobserved, fleet.window);
  }
  compare_devices(fleet);
  fleet.models = compare_models(fleet);
  fleet.kinds = kinds_of(outlook, of_kind, fleet.window);
  return fleet;
}

}  // namespace frisket::upkeep
