#include <algorithm>
#include <array>

#include "daemon/incidents/running_out.h"
#include "daemon/json/forms.h"
#include "daemon/json/values.h"
#include "probes/model/designation.h"
#include "probes/model/identity.h"

namespace frisket::json {
namespace {

using Conditions = std::vector<incidents::Condition>;

bool is_about(const incidents::Condition& condition, model::Subunit::Kind kind, std::int32_t index) {
  return condition.subunit.kind == kind && condition.subunit.index == index;
}

bool has_keyword(const Conditions& conditions, model::Subunit::Kind kind, std::int32_t index,
                 std::initializer_list<std::string_view> keywords) {
  return std::ranges::any_of(conditions, [&](const auto& condition) {
    return is_about(condition, kind, index) && std::ranges::find(keywords, condition.keyword) != keywords.end();
  });
}

std::string_view level_word(const model::Level& level) {
  if (std::holds_alternative<model::Amount>(level)) return "known";
  if (std::holds_alternative<model::SomeLeft>(level)) return "some";
  if (std::holds_alternative<model::Unlimited>(level)) return "unlimited";
  return "unknown";
}

std::string class_word(model::SupplyClass supply_class) {
  switch (supply_class) {
    case model::SupplyClass::supply_that_is_consumed:
      return "consumed";
    case model::SupplyClass::receptacle_that_is_filled:
      return "filled";
    default:
      return model::label(supply_class);
  }
}

std::string first_of(const std::string& a, const std::string& b, const std::string& otherwise) {
  return !a.empty() ? a : !b.empty() ? b : otherwise;
}

Json input_form(const model::Input& input, const Conditions& conditions) {
  const bool empty = amount_of(input.current_level) == 0 ||
                     has_keyword(conditions, model::Subunit::Kind::input, input.index, {"media-empty"});
  return {{"index", input.index},
          {"name", first_of(input.name, input.description, "input " + std::to_string(input.index))},
          {"media", first_of(input.media_name, input.media_type, "")},
          {"percent", percent_or_null(percent_of(input.current_level, input.max_capacity))},
          {"empty", empty},
          {"status", to_text(input.status)},
          {"type", label(input.type)},
          {"level", level_word(input.current_level)},
          {"remaining", or_null(amount_of(input.current_level))},
          {"capacity", or_null(amount_of(input.max_capacity))},
          {"unit", label(input.unit)}};
}

// An output's percent is the room left in it, as prtOutputRemainingCapacity has it.
Json output_form(const model::Output& output, const Conditions& conditions) {
  const bool full = amount_of(output.remaining_capacity) == 0 ||
                    has_keyword(conditions, model::Subunit::Kind::output, output.index, {"output-area-full"});
  return {{"index", output.index},
          {"name", first_of(output.name, output.description, "output " + std::to_string(output.index))},
          {"percent", percent_or_null(percent_of(output.remaining_capacity, output.max_capacity))},
          {"full", full},
          {"status", to_text(output.status)},
          {"type", label(output.type)},
          {"level", level_word(output.remaining_capacity)},
          {"remaining", or_null(amount_of(output.remaining_capacity))},
          {"capacity", or_null(amount_of(output.max_capacity))},
          {"unit", label(output.unit)}};
}

Json cover_form(const model::Cover& cover) {
  return {{"index", cover.index},
          {"name", first_of(cover.description, "", "cover " + std::to_string(cover.index))},
          {"open", cover.open()},
          {"status", label(cover.status)}};
}

Json light_form(const model::ConsoleLight& light) {
  const auto* shows = !light.lit() ? "off" : light.off_time > 0 ? "blinking" : "on";
  return {{"index", light.index}, {"name", light.description}, {"color", label(light.color)}, {"shows", shows}};
}

Json marker_form(const model::Marker& marker) {
  return {{"index", marker.index},
          {"technology", label(marker.mark_tech)},
          {"life_count", or_null(marker.life_count)},
          {"power_on_count", or_null(marker.power_on_count)},
          {"unit", label(marker.counter_unit)},
          {"status", to_text(marker.status)}};
}

Json alert_form(const model::Alert& alert) {
  return {{"index", alert.index},
          {"severity", label(alert.severity)},
          {"training", label(alert.training)},
          {"group", label(alert.group)},
          {"group_index", alert.group_index},
          {"location", alert.location},
          {"code", label(alert.code)},
          {"code_number", static_cast<std::int32_t>(alert.code)},
          {"description", alert.description},
          {"subunit", to_text(alert.subunit())}};
}

// What the host resources MIB says; null members where the device does not implement them.
Json host_form(const model::HostStatus& host) {
  Json errors;
  if (host.errors) {
    errors = Json::array();
    for (const auto bit : host.errors->list()) errors.push_back(to_text(bit));
  }
  return {{"device", host.device ? Json(model::label(*host.device)) : Json()},
          {"printer", host.printer ? Json(model::label(*host.printer)) : Json()},
          {"errors", std::move(errors)}};
}

Json language_form(const model::Interpreter& interpreter) {
  return {{"index", interpreter.index},
          {"family", label(interpreter.family)},
          {"level", interpreter.level},
          {"version", interpreter.language_version},
          {"description", interpreter.description},
          {"firmware", interpreter.version}};
}

// prtChannelDefaultPageDescLangIndex and prtChannelCurrentJobCntlLangIndex point at interpreters; 0 and
// rows that are not there at nothing.
Json language_at(std::int32_t index, const model::DeviceSnapshot& said) {
  const auto found = std::ranges::find(said.interpreters, index, &model::Interpreter::index);
  return index == 0 || found == said.interpreters.end() ? Json() : Json(label(found->family));
}

Json channel_form(const model::Channel& channel, const model::DeviceSnapshot& said) {
  return {{"index", channel.index},
          {"type", label(channel.type)},
          {"language", language_at(channel.default_page_language, said)},
          {"job_language", language_at(channel.current_job_language, said)},
          {"version", channel.protocol_version},
          {"information", channel.information},
          {"state", label(channel.state)},
          {"status", to_text(channel.status)}};
}

Json interface_form(const model::Interface& interface) {
  return {{"index", interface.index},
          {"name", interface.description},
          {"status", label(interface.status)},
          {"speed", or_null(interface.speed)},
          {"in_errors", or_null(interface.in_errors)},
          {"out_errors", or_null(interface.out_errors)},
          {"in_discards", or_null(interface.in_discards)},
          {"out_discards", or_null(interface.out_discards)}};
}

Json device_id_form(const model::DeviceSnapshot& said) {
  const auto text = model::device_id_of(said);
  if (text.empty()) return {};
  const auto id = model::parse_device_id(text);
  return {{"manufacturer", id.manufacturer},
          {"model", id.model},
          {"command_set", id.command_set},
          {"serial", id.serial},
          {"text", text}};
}

template <class Row, class Form>
Json list_of(const std::vector<Row>& rows, Form form) {
  Json list = Json::array();
  for (const auto& row : rows) list.push_back(form(row));
  return list;
}

Json console_lines(const std::vector<model::ConsoleLine>& lines) {
  Json list = Json::array();
  for (const auto& line : lines)
    if (!line.text.empty()) list.push_back(line.text);
  return list;
}

}  // namespace

Json supply_form(const model::Supply& supply, const Conditions& conditions) {
  return {{"index", supply.index},
          {"type", label(supply.type)},
          {"class", class_word(supply.supply_class)},
          {"colorant", supply.colorant},
          {"description", supply.description},
          {"part", text_or_null(model::part_number_in(supply.description))},
          {"percent", percent_or_null(supply.percent())},
          {"low", incidents::is_running_out(supply.index, conditions)},
          {"level", level_word(supply.level)},
          {"days_left", nullptr},
          {"remaining", or_null(amount_of(supply.level))},
          {"capacity", or_null(amount_of(supply.max_capacity))},
          {"unit", label(supply.unit)}};
}

Json supply_item_form(const config::Device& device, const Json& supply) {
  Json item = {{"device", device.name}, {"site", device.site}, {"location", device.location}};
  item.update(supply);
  return item;
}

Json device_form(const config::Device& device, const incidents::DeviceStatus& status) {
  static const model::DeviceSnapshot kNothingKnown;
  const auto& said = status.snapshot ? *status.snapshot : kNothingKnown;
  const auto& conditions = status.conditions;
  const auto identity = model::identity_of(said);

  Json form;
  form["name"] = device.name;
  form["address"] = device.address;
  form["site"] = device.site;
  form["location"] = device.location;
  form["state"] = to_text(status.state);
  form["maker"] = identity.maker;
  form["model"] = identity.model;
  form["serial"] = identity.serial;
  form["impressions"] = or_null(said.impressions());
  form["colour_impressions"] = or_null(said.colour_impressions);
  form["last_reading_at"] = time_or_null(status.last_reading_at);
  form["supplies"] = list_of(said.supplies, [&](const auto& supply) { return supply_form(supply, conditions); });
  form["inputs"] = list_of(said.inputs, [&](const auto& input) { return input_form(input, conditions); });
  form["outputs"] = list_of(said.outputs, [&](const auto& output) { return output_form(output, conditions); });
  form["covers"] = list_of(said.covers, cover_form);
  form["console"] = console_lines(said.console);
  form["conditions"] = list_of(conditions, condition_form);
  form["reach"] = to_text(status.reach);
  form["detail"] = status.detail;
  form["host"] = host_form(said.host);
  form["lights"] = list_of(said.lights, light_form);
  form["markers"] = list_of(said.markers, marker_form);
  form["alerts"] = list_of(said.alerts, alert_form);
  form["gaps"] = said.gaps;
  form["firmware"] = identity.firmware;
  form["firmware_changed_at"] = time_or_null(status.firmware_changed_at);
  form["serial_changed_at"] = time_or_null(status.serial_changed_at);
  form["languages"] = list_of(said.interpreters, language_form);
  form["channels"] = list_of(said.channels, [&](const auto& channel) { return channel_form(channel, said); });
  form["interfaces"] = list_of(said.interfaces, interface_form);
  form["device_id"] = device_id_form(said);
  return form;
}

}  // namespace frisket::json
