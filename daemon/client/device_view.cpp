#include "daemon/client/table.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/views.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

const Column kWhole = {"", Column::kWhole};
const std::vector<Column> kTrayColumns = {kWhole, {"", 8}, {"", 4, 2}, {"", Column::kWhole, 1}, kWhole, {"", 10}};

std::string state_words(const Device& device) {
  if (device.state == "attention") return "needs attention";
  if (device.state == "silent") return "does not answer";
  return device.state.empty() ? "unknown" : device.state;
}

std::string head(const Device& device, const Screen& screen) {
  std::string out = paragraph(device.name + ": ", state_words(device), screen, tone_of_state(device.state));
  out += labelled("Detail", device.detail, screen);
  const std::string site = device.site.empty() ? "" : "site " + device.site;
  out += labelled("Where", joined({device.location, site}, ", "), screen);
  const std::string serial = device.serial.empty() ? "" : "serial " + device.serial;
  out += labelled("Model", joined({joined({device.maker, device.model}, " "), serial}, ", "), screen);
  out += labelled("Address", device.address, screen);
  if (device.impressions)
    out += labelled("Printed", counted_words(*device.impressions, "impression", "impressions"), screen);
  return out + labelled("Last read", last_read_words(device.last_reading_at, screen), screen);
}

Rows supply_rows(const Device& device) {
  Rows rows;
  for (const Supply& each : device.supplies)
    rows.push_back({{plain(each.index)},
                    {supply_name(each)},
                    {bar(each.percent)},
                    {level_words(each), each.low.value_or(false) ? Tone::warning : Tone::plain},
                    {days_words(each)},
                    {each.part}});
  return rows;
}

Rows tray_rows(const std::vector<Tray>& trays, std::string (*words)(const Tray&)) {
  Rows rows;
  for (const Tray& each : trays)
    rows.push_back({{plain(each.index)}, {each.name}, {each.media}, {bar(each.percent)}, {words(each)}, {each.status}});
  return rows;
}

Rows cover_rows(const Device& device) {
  Rows rows;
  for (const Cover& each : device.covers) {
    const bool open = each.open.value_or(false);
    const char* word = !each.open ? "not known" : open ? "open" : "closed";
    rows.push_back({{plain(each.index)}, {each.name}, {word, open ? Tone::minor : Tone::plain}});
  }
  return rows;
}

std::string console(const Device& device, const Screen& screen) {
  std::string out;
  for (const std::string& text : device.console) out += paragraph("  ", '"' + text + '"', screen);
  for (const Light& light : device.lights)
    if (light.shows != "off")
      out += paragraph("  ", "light " + joined({light.name, light.color, light.shows}, ", "), screen);
  return out.empty() ? out : title("Console", screen) + out;
}

std::string numbered(const char* part, std::optional<std::int64_t> index) {
  return std::string(part) + ':' + plain(index);
}

void tray_lines(Lines& lines, const char* part, const std::vector<Tray>& trays) {
  for (const Tray& each : trays) {
    const std::string about = numbered(part, each.index);
    lines.push_back({about, "name", each.name});
    lines.push_back({about, "media", each.media});
    lines.push_back({about, "percent", plain(each.percent)});
    lines.push_back({about, "level", each.level});
    if (each.empty) lines.push_back({about, "empty", plain(each.empty)});
    if (each.full) lines.push_back({about, "full", plain(each.full)});
    lines.push_back({about, "remaining", plain(each.remaining)});
    lines.push_back({about, "capacity", plain(each.capacity)});
    lines.push_back({about, "unit", each.unit});
    lines.push_back({about, "status", each.status});
  }
}

void supply_lines(Lines& lines, const Device& device) {
  for (const Supply& each : device.supplies) {
    const std::string about = numbered("supply", each.index);
    lines.push_back({about, "type", each.type});
    lines.push_back({about, "class", each.supply_class});
    lines.push_back({about, "colorant", each.colorant});
    lines.push_back({about, "description", each.description});
    lines.push_back({about, "part", each.part});
    lines.push_back({about, "percent", plain(each.percent)});
    lines.push_back({about, "level", each.level});
    lines.push_back({about, "low", plain(each.low)});
    const DaysLeft days = each.days_left.value_or(DaysLeft{});
    lines.push_back({about, "days_left_p10", plain(days.p10)});
    lines.push_back({about, "days_left_p50", plain(days.p50)});
    lines.push_back({about, "days_left_p90", plain(days.p90)});
    lines.push_back({about, "days_left_why", each.days_left_why});
  }
}

}  // namespace

std::string device_screen(const Device& device, std::vector<Incident> open, const Screen& screen) {
  std::string out = head(device, screen);
  out += console(device, screen);
  out += section("Supplies", {kWhole, {"", 12}, {"", Column::kWhole, 2}, kWhole, {"", 17, 1}, {"", 8}},
                 supply_rows(device), screen);
  out += section("Trays", kTrayColumns, tray_rows(device.inputs, input_words), screen);
  out += section("Output bins", kTrayColumns, tray_rows(device.outputs, output_words), screen);
  out += section("Covers", {kWhole, {"", 6}, kWhole}, cover_rows(device), screen);
  return out + conditions_part(device.conditions, screen) + open_incidents_part(std::move(open), screen);
}

std::string device_lines(const Device& device, std::vector<Incident> open) {
  Lines lines = {{"device", "name", device.name},
                 {"device", "state", device.state},
                 {"device", "detail", device.detail},
                 {"device", "site", device.site},
                 {"device", "location", device.location},
                 {"device", "address", device.address},
                 {"device", "maker", device.maker},
                 {"device", "model", device.model},
                 {"device", "serial", device.serial},
                 {"device", "impressions", plain(device.impressions)},
                 {"device", "last_reading_at", plain(device.last_reading_at)}};
  for (std::size_t i = 0; i < device.console.size(); ++i)
    lines.push_back({"console:" + std::to_string(i + 1), "text", device.console[i]});
  supply_lines(lines, device);
  tray_lines(lines, "input", device.inputs);
  tray_lines(lines, "output", device.outputs);
  for (const Cover& each : device.covers) {
    lines.push_back({numbered("cover", each.index), "name", each.name});
    lines.push_back({numbered("cover", each.index), "open", plain(each.open)});
  }
  condition_lines(lines, device.conditions);
  open_incident_lines(lines, std::move(open));
  return tab_separated({"about", "field", "value"}, lines);
}

}  // namespace frisket::client
