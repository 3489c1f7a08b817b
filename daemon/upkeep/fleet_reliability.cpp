#include "daemon/upkeep/fleet_reliability.h"

#include <algorithm>

namespace frisket::upkeep {
namespace {

constexpr std::string_view kJam = "media-jam";

IncidentSpan span_of(const PastIncident& incident) {
  return {incident.kind, incident.from, incident.to, incident.down};
}

}  // namespace

FleetReliability fleet_reliability(const Outlook& outlook, std::span<const PastIncident> incidents, WallTime now) {
  FleetReliability fleet{{now - kLately, now}, {}, {}};
  std::map<std::string, std::vector<IncidentSpan>> of_device;
  std::map<std::string, std::vector<IncidentSpan>> of_kind;
  for (const auto& incident : incidents) {
    if (incident.from < fleet.window.from || incident.from > now) continue;
    of_device[incident.device].push_back(span_of(incident));
    of_kind[incident.kind].push_back(span_of(incident));
  }
  std::vector<JamRecord> records;
  for (const auto& [name, device] : outlook.devices) {
    auto& mine = fleet.devices[name];
    const auto& spans = of_device[name];
    mine.device = name;
    mine.jams = std::ranges::count(spans, kJam, &IncidentSpan::kind);
    mine.sheets = device->lately;
    mine.availability = availability(spans, device->unobserved, fleet.window);
    if (mine.sheets > 0) records.push_back({name, mine.jams, mine.sheets});
  }
  for (auto& figure : compare_jams(records)) {
    const auto name = figure.name;
    fleet.devices[name].jam = std::move(figure);
  }
  for (const auto& [kind, spans] : of_kind) fleet.kinds.push_back({kind, repair_figures(spans, fleet.window)});
  return fleet;
}

}  // namespace frisket::upkeep
