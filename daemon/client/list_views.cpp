#include "daemon/client/table.h"
#include "daemon/client/views.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

std::string keywords_of(const Device& device, std::string_view separator) {
  std::vector<std::string> keywords;
  for (const Condition& each : device.conditions) keywords.push_back(each.keyword);
  return joined(keywords, separator);
}

std::string device_of(const Incident& incident) { return incident.device.empty() ? incident.queue : incident.device; }

}  // namespace

std::string devices_screen(const std::vector<Device>& devices, const Screen& screen) {
  if (devices.empty()) return paragraph("", "No such device is configured.", screen);
  std::vector<std::vector<Cell>> rows;
  for (const Device& each : devices) {
    const std::string says = each.conditions.empty() ? each.detail : keywords_of(each, ", ");
    rows.push_back({{each.name},
                    {each.state, tone_of_state(each.state)},
                    {each.site},
                    {each.location},
                    {joined({each.maker, each.model}, " ")},
                    {says}});
  }
  return fitted_table(
      {{"DEVICE", kWhole}, {"STATE", kWhole}, {"SITE", 10, 1}, {"LOCATION", 12, 2}, {"MODEL", 10, 3}, {"SAYS", 18}},
      rows, screen.width, screen.colour);
}

std::string devices_lines(const std::vector<Device>& devices) {
  std::vector<std::vector<std::string>> rows;
  for (const Device& each : devices)
    rows.push_back({each.name, each.state, each.site, each.location, each.address, each.maker, each.model, each.serial,
                    plain(each.impressions), plain(each.last_reading_at), keywords_of(each, ",")});
  return tab_separated({"name", "state", "site", "location", "address", "maker", "model", "serial", "impressions",
                        "last_reading_at", "conditions"},
                       rows);
}

std::string supplies_screen(const std::vector<FleetSupply>& supplies, const Screen& screen) {
  if (supplies.empty()) return paragraph("", "No such supply is known.", screen);
  std::vector<std::vector<Cell>> rows;
  for (const FleetSupply& each : supplies) {
    const Supply& supply = each.supply;
    rows.push_back({{each.device},
                    {each.site},
                    {supply_name(supply)},
                    {bar(supply.percent)},
                    {level_words(supply), supply.low.value_or(false) ? Tone::warning : Tone::plain},
                    {days_words(supply)},
                    {supply.part}});
  }
  return fitted_table({{"DEVICE", kWhole},
                       {"SITE", 6, 3},
                       {"SUPPLY", 12},
                       {"", kWhole, 1},
                       {"LEFT", kWhole},
                       {"LASTS", 17, 2},
                       {"PART", 8}},
                      rows, screen.width, screen.colour);
}

std::string supplies_lines(const std::vector<FleetSupply>& supplies) {
  std::vector<std::vector<std::string>> rows;
  for (const FleetSupply& each : supplies) {
    const Supply& supply = each.supply;
    const DaysLeft days = supply.days_left.value_or(DaysLeft{});
    rows.push_back({each.device, each.site, each.location, plain(supply.index), supply.type, supply.supply_class,
                    supply.colorant, supply.description, supply.part, plain(supply.percent), supply.level,
                    plain(supply.low), plain(days.p10), plain(days.p50), plain(days.p90), supply.days_left_why});
  }
  return tab_separated({"device", "site", "location", "index", "type", "class", "colorant", "description", "part",
                        "percent", "level", "low", "days_left_p10", "days_left_p50", "days_left_p90", "days_left_why"},
                       rows);
}

std::string incidents_screen(const std::vector<Incident>& incidents, const Screen& screen) {
  if (incidents.empty()) return paragraph("", "No such incident.", screen);
  std::vector<std::vector<Cell>> rows;
  for (const Incident& each : incidents) {
    std::string when = each.raised_at ? since_words(*each.raised_at, screen.now, screen.zone) : "";
    if (!each.open()) when = "cleared";
    if (each.cleared_at) when += ' ' + local_moment(*each.cleared_at, screen.now, screen.zone);
    rows.push_back({{each.id},
                    {std::string(model::to_text(each.severity)), tone_of(each.severity)},
                    {when},
                    {device_of(each)},
                    {each.place},
                    {each.site},
                    {each.summary}});
  }
  return fitted_table({{"INCIDENT", kWhole},
                       {"SEVERITY", kWhole},
                       {"SINCE", kWhole},
                       {"DEVICE", kWhole},
                       {"PLACE", kWhole, 1},
                       {"SITE", 6, 2},
                       {"WHAT", 20}},
                      rows, screen.width, screen.colour);
}

std::string incidents_lines(const std::vector<Incident>& incidents) {
  std::vector<std::vector<std::string>> rows;
  for (const Incident& each : incidents)
    rows.push_back({each.id, std::string(model::to_text(each.severity)), each.state, each.operator_state, each.kind,
                    each.site, each.device, each.queue, each.subunit, each.place, each.training, plain(each.raised_at),
                    plain(each.changed_at), plain(each.cleared_at), each.summary});
  return tab_separated({"id", "severity", "state", "operator", "kind", "site", "device", "queue", "subunit", "place",
                        "training", "raised_at", "changed_at", "cleared_at", "summary"},
                       rows);
}

}  // namespace frisket::client
