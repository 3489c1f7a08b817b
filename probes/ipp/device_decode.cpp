#include "probes/ipp/device_decode.h"

#include <algorithm>
#include <array>
#include <utility>

#include "probes/ipp/key_value.h"
#include "probes/ipp/reason_alert.h"
#include "probes/ipp/state_reasons.h"
#include "probes/model/ascii.h"
#include "probes/model/queue.h"

namespace frisket::ipp {
namespace {

using model::DeviceSnapshot;
using model::PrinterState;

constexpr std::size_t kMaxRows = 128;
constexpr std::size_t kMaxLongText = 1023;

// The octetStrings of an attribute, bounded, with a gap said where some are left out.
std::vector<std::string_view> rows_of(const Group& printer, std::string_view name, DeviceSnapshot& snapshot) {
  const auto* attribute = printer.find(name);
  if (attribute == nullptr) return {};
  auto rows = attribute->octets();
  if (rows.size() > kMaxRows) {
    rows.resize(kMaxRows);
    snapshot.gaps.push_back(std::string(name) + ": more than 128 rows, the rest left out");
  }
  return rows;
}

std::string at_or_empty(const std::vector<std::string>& texts, std::size_t i) {
  return i < texts.size() ? texts[i] : std::string();
}

std::int32_t index_or_place(const KeyValues& row, std::size_t place) {
  const auto index = row.number("index");
  return index && *index > 0 ? *index : static_cast<std::int32_t>(place + 1);
}

model::Level level_of(const KeyValues& row, std::string_view key) {
  const auto wire = row.number(key);
  return wire ? model::decode_level(*wire) : model::Level{};
}

model::Capacity capacity_of(const KeyValues& row, std::string_view key) {
  const auto wire = row.number(key);
  return wire ? model::decode_capacity(*wire) : model::Capacity{};
}

model::SubunitStatus status_of(const KeyValues& row) {
  const auto wire = row.number("status");
  return wire ? model::SubunitStatus::decode(*wire) : model::SubunitStatus{};
}

bool is_waste(model::SupplyType type) {
  using T = model::SupplyType;
  return type == T::waste_toner || type == T::waste_ink || type == T::waste_wax || type == T::waste_water ||
         type == T::waste_paper;
}

void take_supplies(const Group& printer, DeviceSnapshot& snapshot) {
  const auto descriptions = printer.texts("printer-supply-description");
  const auto rows = rows_of(printer, "printer-supply", snapshot);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const KeyValues row(rows[i]);
    if (row.empty()) continue;
    model::Supply supply;
    supply.index = index_or_place(row, i);
    supply.marker_index = row.number("markerindex").value_or(1);
    supply.colorant_index = row.number("colorantindex").value_or(0);
    supply.type = row.label<model::SupplyType>("type").value_or(model::SupplyType::unknown);
    supply.supply_class = row.label<model::SupplyClass>("class").value_or(
        is_waste(supply.type) ? model::SupplyClass::receptacle_that_is_filled : model::SupplyClass::other);
    supply.description = at_or_empty(descriptions, i);
    supply.colorant = row.text("colorantname");
    // A colorant that is not known is written out: "colorantname=unknown".
    if (supply.colorant == "unknown" || supply.colorant == "none") supply.colorant.clear();
    supply.unit = row.label<model::SupplyUnit>("unit").value_or(model::SupplyUnit::unknown);
    supply.max_capacity = capacity_of(row, "maxcapacity");
    supply.level = level_of(row, "level");
    snapshot.supplies.push_back(std::move(supply));
  }
}

// marker-names and its kin: parallel lists, levels in percent with -1, -2, -3 as in the Printer MIB.
// Of a waste receptacle the level says how full it is, where the Printer MIB says how much room
// is left. Common practice, no source.
void take_markers(const Group& printer, DeviceSnapshot& snapshot) {
  const auto names = printer.texts("marker-names");
  const auto types = printer.texts("marker-types");
  const auto* levels = printer.find("marker-levels");
  const auto numbers = levels != nullptr ? levels->integers() : std::vector<std::int32_t>{};
  const auto count = std::min({std::max(names.size(), numbers.size()), kMaxRows});
  for (std::size_t i = 0; i < count; ++i) {
    model::Supply supply;
    supply.index = static_cast<std::int32_t>(i + 1);
    supply.marker_index = 1;
    supply.description = at_or_empty(names, i);
    const KeyValues type("type=" + at_or_empty(types, i));
    supply.type = type.label<model::SupplyType>("type").value_or(model::SupplyType::unknown);
    supply.supply_class = is_waste(supply.type) ? model::SupplyClass::receptacle_that_is_filled
                                                : model::SupplyClass::supply_that_is_consumed;
    supply.unit = model::SupplyUnit::percent;
    supply.max_capacity = model::Amount{100};
    if (i < numbers.size()) {
      supply.level = model::decode_level(numbers[i]);
      const auto amount = model::amount_of(supply.level);
      if (amount && supply.is_receptacle()) supply.level = model::Amount{std::max(0, 100 - *amount)};
    }
    snapshot.supplies.push_back(std::move(supply));
  }
}

// media-size-name, or media-key, of what media-col-ready has for that media-source.
const Collection* ready_in(const Group& printer, const std::string& source) {
  const auto* ready = printer.find("media-col-ready");
  if (ready == nullptr || source.empty()) return nullptr;
  for (const auto& value : ready->values) {
    const auto* media = std::get_if<Collection>(&value);
    const auto* from = media != nullptr ? media->find("media-source") : nullptr;
    if (from != nullptr && from->text() == source) return media;
  }
  return nullptr;
}

std::string member_text(const Collection& media, std::string_view name) {
  const auto* member = media.find(name);
  return member != nullptr ? member->text() : std::string();
}

void take_inputs(const Group& printer, DeviceSnapshot& snapshot) {
  const auto rows = rows_of(printer, "printer-input-tray", snapshot);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const KeyValues row(rows[i]);
    if (row.empty()) continue;
    model::Input input;
    input.index = index_or_place(row, i);
    input.type = row.label<model::InputType>("type").value_or(model::InputType::unknown);
    input.unit = row.label<model::CapacityUnit>("unit").value_or(model::CapacityUnit::unknown);
    input.max_capacity = capacity_of(row, "maxcapacity");
    input.current_level = level_of(row, "level");
    input.status = status_of(row);
    input.name = row.text("name");
    input.media_type = row.text("mediatype");
    input.media_color = row.text("mediacolor");
    if (const auto weight = row.number("mediaweight"); weight && *weight >= 0) input.media_weight = weight;
    if (const auto* media = ready_in(printer, input.name)) {
      input.media_name = member_text(*media, "media-size-name");
      if (input.media_name.empty()) input.media_name = member_text(*media, "media-key");
      if (input.media_type.empty()) input.media_type = member_text(*media, "media-type");
      if (input.media_color.empty()) input.media_color = member_text(*media, "media-color");
    }
    snapshot.inputs.push_back(std::move(input));
  }
}

void take_outputs(const Group& printer, DeviceSnapshot& snapshot) {
  const auto rows = rows_of(printer, "printer-output-tray", snapshot);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const KeyValues row(rows[i]);
    if (row.empty()) continue;
    model::Output output;
    output.index = index_or_place(row, i);
    output.type = row.label<model::OutputType>("type").value_or(model::OutputType::unknown);
    output.unit = row.label<model::CapacityUnit>("unit").value_or(model::CapacityUnit::unknown);
    output.max_capacity = capacity_of(row, "maxcapacity");
    output.remaining_capacity = level_of(row, "remaining");
    output.status = status_of(row);
    output.name = row.text("name");
    snapshot.outputs.push_back(std::move(output));
  }
}

void take_alerts(const Group& printer, DeviceSnapshot& snapshot) {
  const auto descriptions = printer.texts("printer-alert-description");
  const auto rows = rows_of(printer, "printer-alert", snapshot);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const KeyValues row(rows[i]);
    // "No alerts" is written as one empty string, or as a row with code=other and nothing else.
    if (row.empty()) continue;
    model::Alert alert;
    alert.index = index_or_place(row, i);
    alert.code = row.label<model::AlertCode>("code").value_or(model::AlertCode::unknown);
    alert.severity = row.label<model::AlertSeverity>("severity").value_or(model::AlertSeverity::other);
    alert.training = row.label<model::AlertTraining>("training").value_or(model::AlertTraining::unknown);
    alert.group = row.label<model::AlertGroup>("group").value_or(model::AlertGroup::unknown);
    alert.group_index = row.number("groupindex").value_or(-1);
    alert.location = row.number("location").value_or(-2);
    if (const auto time = row.number("time"); time && *time >= 0) alert.time = static_cast<std::uint32_t>(*time);
    alert.description = at_or_empty(descriptions, i);
    const bool says_nothing = (alert.code == model::AlertCode::other || alert.code == model::AlertCode::unknown) &&
                              alert.severity == model::AlertSeverity::other && alert.description.empty();
    if (!says_nothing) snapshot.alerts.push_back(std::move(alert));
  }
}

void take_reasons(const std::vector<model::StateReason>& reasons, PrinterState state, DeviceSnapshot& snapshot) {
  const auto own_rows = static_cast<std::ptrdiff_t>(snapshot.alerts.size());
  std::int32_t index = 0;
  for (const auto& alert : snapshot.alerts) index = std::max(index, alert.index);
  for (const auto& reason : reasons) {
    auto alert = alert_of(reason, state);
    if (!alert || snapshot.alerts.size() >= kMaxRows) continue;
    // A row of printer-alert says the same with its place; the keyword adds nothing to it.
    const auto rows_end = snapshot.alerts.begin() + own_rows;
    const auto same = std::find_if(snapshot.alerts.begin(), rows_end,
                                   [&](const model::Alert& row) { return row.group == alert->group; });
    if (same != rows_end) continue;
    if (index == INT32_MAX) break;
    alert->index = ++index;
    snapshot.alerts.push_back(std::move(*alert));
  }
}

// RFC 3805 section 2.2.13.2: hrDeviceStatus and hrPrinterStatus by what the printer can do now.
void take_state(std::optional<PrinterState> state, const std::vector<model::StateReason>& reasons,
                DeviceSnapshot& snapshot) {
  using Device = model::HostDeviceStatus;
  using Printer = model::HostPrinterStatus;
  if (!state) return;
  const bool trouble =
      std::ranges::any_of(reasons, [&](const auto& reason) { return alert_of(reason, *state).has_value(); });
  switch (*state) {
    case PrinterState::idle:
      snapshot.host.printer = Printer::idle;
      break;
    case PrinterState::processing:
      snapshot.host.printer = Printer::printing;
      break;
    case PrinterState::stopped:
      snapshot.host.printer = Printer::other;
      snapshot.host.device = Device::down;
      return;
    default:
      snapshot.host.printer = Printer::unknown;
      break;
  }
  snapshot.host.device = trouble ? Device::warning : Device::running;
}

struct FormatLanguage {
  std::string_view format;
  model::LangFamily family;
};

// Media types of the IANA registry, in lower case, and the interpreter each needs.
constexpr std::array kFormats = {
    FormatLanguage{"application/pdf", model::LangFamily::pdf},
    FormatLanguage{"application/postscript", model::LangFamily::ps},
    FormatLanguage{"application/vnd.hp-pcl", model::LangFamily::pcl},
    FormatLanguage{"application/vnd.hp-pclxl", model::LangFamily::pclxl},
    FormatLanguage{"application/openxps", model::LangFamily::open_xps},
    FormatLanguage{"application/vnd.ms-xpsdocument", model::LangFamily::xps},
    FormatLanguage{"image/jpeg", model::LangFamily::jpeg},
    FormatLanguage{"image/pwg-raster", model::LangFamily::pwg_raster},
    FormatLanguage{"image/tiff", model::LangFamily::tiff},
    FormatLanguage{"image/urf", model::LangFamily::apple_raster},
    FormatLanguage{"text/plain", model::LangFamily::simple_text},
};

void take_formats(const Group& printer, DeviceSnapshot& snapshot) {
  for (auto format : printer.texts("document-format-supported")) {
    std::ranges::transform(format, format.begin(), model::lower_case);
    const auto known = std::ranges::find(kFormats, std::string_view(format), &FormatLanguage::format);
    if (known == kFormats.end() || snapshot.interpreters.size() >= kMaxRows) continue;
    model::Interpreter interpreter;
    interpreter.index = static_cast<std::int32_t>(snapshot.interpreters.size() + 1);
    interpreter.family = known->family;
    interpreter.description = format;
    snapshot.interpreters.push_back(std::move(interpreter));
  }
}

// A key of an IEEE 1284 device id, "SN:12345;". Keys and their long forms as the id has them.
std::string device_id_field(std::string_view device_id, std::initializer_list<std::string_view> keys) {
  while (!device_id.empty()) {
    const auto end = device_id.find(';');
    const auto field = device_id.substr(0, end);
    device_id = end == std::string_view::npos ? std::string_view{} : device_id.substr(end + 1);
    const auto colon = field.find(':');
    if (colon == std::string_view::npos) continue;
    const auto name = model::decode_text(field.substr(0, colon), model::Charset::ascii);
    if (std::ranges::find(keys, std::string_view(name)) != keys.end())
      return model::decode_text(field.substr(colon + 1), model::Charset::utf8);
  }
  return {};
}

void take_identity(const Group& printer, DeviceSnapshot& snapshot) {
  const auto device_id = printer.text("printer-device-id", kMaxLongText);
  auto make_and_model = printer.text("printer-make-and-model");
  snapshot.system.description = printer.text("printer-info");
  snapshot.system.name = printer.text("printer-dns-sd-name");
  if (snapshot.system.name.empty()) snapshot.system.name = printer.text("printer-name");
  snapshot.system.location = printer.text("printer-location");
  if (const auto up = printer.integer("printer-up-time"); up && *up >= 0)
    snapshot.system.up_time = static_cast<std::uint32_t>(static_cast<std::uint64_t>(*up) * 100);
  snapshot.host.description = make_and_model.empty() ? device_id : make_and_model;
  snapshot.general.printer_name = printer.text("printer-name");
  snapshot.general.serial_number = printer.text("printer-serial-number");
  if (snapshot.general.serial_number.empty())
    snapshot.general.serial_number = device_id_field(device_id, {"SN", "SERN", "SERIALNUMBER"});
}

// Of printer-impressions-completed-col (IPP registry, PWG 5100.22); nothing if none of the members of colour is there.
// They count apart from each other: an impression is full-color or highlight-color, on one side or on two.
std::optional<std::uint32_t> colour_impressions(const Group& printer) {
  const auto* attribute = printer.find("printer-impressions-completed-col");
  if (attribute == nullptr || attribute->values.size() != 1) return std::nullopt;
  const auto* counts = std::get_if<Collection>(&attribute->values.front());
  if (counts == nullptr) return std::nullopt;
  std::optional<std::uint32_t> sum;
  for (const auto* name : {"full-color", "full-color-two-sided", "highlight-color", "highlight-color-two-sided"}) {
    const auto* member = counts->find(name);
    const auto count = member != nullptr ? member->integer() : std::nullopt;
    if (count && *count >= 0) sum = sum.value_or(0) + static_cast<std::uint32_t>(*count);
  }
  return sum;
}

// One marker for the whole device: IPP counts pages for the printer, not for its engines.
void take_counters(const Group& printer, DeviceSnapshot& snapshot) {
  snapshot.colour_impressions = colour_impressions(printer);
  const auto count = printer.integer("printer-impressions-completed");
  if (!count || *count < 0) return;
  model::Marker marker;
  marker.index = 1;
  marker.counter_unit = model::CounterUnit::impressions;
  marker.life_count = static_cast<std::uint32_t>(*count);
  snapshot.markers.push_back(marker);
}

void take_channel(const Group& printer, DeviceSnapshot& snapshot) {
  const auto accepting = printer.boolean("printer-is-accepting-jobs");
  if (!accepting) return;
  model::Channel channel;
  channel.index = 1;
  channel.type = model::ChannelType::ipp;
  channel.state = *accepting ? model::ChannelState::print_data_accepted : model::ChannelState::no_data_accepted;
  channel.information = printer.text("printer-uri-supported");
  snapshot.channels.push_back(std::move(channel));
}

}  // namespace

std::vector<std::string> device_attributes() {
  return {"printer-name",
          "printer-dns-sd-name",
          "printer-info",
          "printer-location",
          "printer-make-and-model",
          "printer-device-id",
          "printer-serial-number",
          "printer-uri-supported",
          "printer-up-time",
          "printer-state",
          "printer-state-reasons",
          "printer-state-message",
          "printer-is-accepting-jobs",
          "printer-alert",
          "printer-alert-description",
          "printer-supply",
          "printer-supply-description",
          "printer-input-tray",
          "printer-output-tray",
          "printer-impressions-completed",
          "printer-impressions-completed-col",
          "marker-names",
          "marker-types",
          "marker-levels",
          "media-col-ready",
          "document-format-supported"};
}

DeviceSnapshot device_from(const Group& printer) {
  DeviceSnapshot snapshot;
  take_identity(printer, snapshot);
  take_counters(printer, snapshot);
  take_supplies(printer, snapshot);
  if (snapshot.supplies.empty()) take_markers(printer, snapshot);
  take_inputs(printer, snapshot);
  take_outputs(printer, snapshot);
  take_alerts(printer, snapshot);
  std::optional<PrinterState> state;
  if (const auto number = printer.integer("printer-state")) state = static_cast<PrinterState>(*number);
  const auto reasons = state_reasons_of(printer.find("printer-state-reasons"));
  take_state(state, reasons, snapshot);
  take_reasons(reasons, state.value_or(PrinterState::idle), snapshot);
  take_formats(printer, snapshot);
  take_channel(printer, snapshot);
  if (auto message = printer.text("printer-state-message"); !message.empty())
    snapshot.console.push_back({1, std::move(message)});
  return snapshot;
}

}  // namespace frisket::ipp
