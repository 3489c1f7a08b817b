#include "probes/model/merged.h"

#include <algorithm>

#include "probes/model/ascii.h"

namespace frisket::model {
namespace {

void fill(std::string& text, const std::string& other) {
  if (text.empty()) text = other;
}

template <class T>
void fill(std::optional<T>& value, const std::optional<T>& other) {
  if (!value) value = other;
}

template <class T>
void fill(std::vector<T>& rows, const std::vector<T>& others) {
  if (rows.empty()) rows = others;
}

// The row of the same index, or null.
template <class Row>
const Row* like(const std::vector<Row>& rows, const Row& row) {
  const auto found = std::ranges::find(rows, row.index, &Row::index);
  return found == rows.end() ? nullptr : &*found;
}

// How much a level tells: nothing, that there is some, how much.
int worth(const Level& level) {
  if (std::holds_alternative<Unknown>(level)) return 0;
  return std::holds_alternative<SomeLeft>(level) ? 1 : 2;
}

// Level and capacity count in one unit, so they are taken together.
template <class Row>
void fill_level(Row& row, Level Row::*level, const Row& other) {
  if (worth(row.*level) >= worth(other.*level)) return;
  row.*level = other.*level;
  row.max_capacity = other.max_capacity;
  row.unit = other.unit;
}

bool same_supply(const Supply& a, const Supply& b) {
  const bool same_colorant =
      a.colorant.empty() || b.colorant.empty() || in_lower_case(a.colorant) == in_lower_case(b.colorant);
  return a.type == b.type && same_colorant && a.is_receptacle() == b.is_receptacle();
}

void fill_supplies(std::vector<Supply>& rows, const std::vector<Supply>& others) {
  fill(rows, others);
  for (auto& row : rows) {
    const auto* other = like(others, row);
    if (other == nullptr || !same_supply(row, *other)) continue;
    fill_level(row, &Supply::level, *other);
    fill(row.description, other->description);
    fill(row.colorant, other->colorant);
  }
}

// Of a tray or bin: what inputs and outputs have in common, then `more`.
template <class Row, class More>
void fill_trays(std::vector<Row>& rows, const std::vector<Row>& others, Level Row::*level, More more) {
  fill(rows, others);
  for (auto& row : rows) {
    const auto* other = like(others, row);
    if (other == nullptr || other->type != row.type) continue;
    fill_level(row, level, *other);
    fill(row.name, other->name);
    fill(row.description, other->description);
    more(row, *other);
  }
}

void fill_media(Input& input, const Input& other) {
  fill(input.media_name, other.media_name);
  fill(input.media_type, other.media_type);
  fill(input.media_color, other.media_color);
  fill(input.media_weight, other.media_weight);
}

void fill_system(System& system, const System& other) {
  fill(system.description, other.description);
  fill(system.object_id, other.object_id);
  fill(system.up_time, other.up_time);
  fill(system.name, other.name);
  fill(system.location, other.location);
  fill(system.contact, other.contact);
}

void fill_host(HostStatus& host, const HostStatus& other) {
  fill(host.description, other.description);
  fill(host.device, other.device);
  fill(host.printer, other.printer);
  fill(host.errors, other.errors);
}

void fill_general(General& general, const General& other) {
  fill(general.printer_name, other.printer_name);
  fill(general.serial_number, other.serial_number);
}

}  // namespace

DeviceSnapshot merged(const DeviceSnapshot& first, const DeviceSnapshot& second) {
  auto device = first;
  fill_system(device.system, second.system);
  fill_host(device.host, second.host);
  fill_general(device.general, second.general);
  fill(device.localizations, second.localizations);
  fill(device.covers, second.covers);
  fill_trays(device.inputs, second.inputs, &Input::current_level, fill_media);
  fill_trays(device.outputs, second.outputs, &Output::remaining_capacity, [](Output&, const Output&) {});
  // The page counter is a sum over the markers, so those of one witness are taken or none.
  if (!device.impressions()) fill(device.markers, second.markers);
  if (!device.colour_impressions) device.colour_impressions = second.colour_impressions;
  fill(device.colorants, second.colorants);
  fill_supplies(device.supplies, second.supplies);
  fill(device.media_paths, second.media_paths);
  fill(device.channels, second.channels);
  fill(device.interpreters, second.interpreters);
  fill(device.console, second.console);
  fill(device.lights, second.lights);
  fill(device.interfaces, second.interfaces);
  fill(device.device_ids, second.device_ids);
  // A device that keeps an alert table of its own means it when that is empty; the state reasons of its print service
  // lag behind and follow its state. Only one that has neither table nor error bits is spoken for.
  if (!first.host.errors && !first.general.all_events) fill(device.alerts, second.alerts);
  device.gaps.insert(device.gaps.end(), second.gaps.begin(), second.gaps.end());
  return device;
}

}  // namespace frisket::model
