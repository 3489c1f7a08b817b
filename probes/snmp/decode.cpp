#include "probes/snmp/decode.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "probes/model/text.h"
#include "probes/snmp/row_reader.h"
#include "probes/snmp/values.h"

namespace frisket::snmp {
namespace {

using model::Charset;
using model::DeviceSnapshot;

void gap(mib::scalar::Id id, std::string_view what, Gaps& gaps) {
  gaps.add(std::string(mib::object_of(id).name) + " is " + std::string(what));
}

template <class T>
std::optional<T> number(const RawReading& raw, mib::scalar::Id id, Gaps& gaps) {
  return number_or_gap<T>(raw[id], [&](std::string_view what) { gap(id, what, gaps); });
}

std::string text(const RawReading& raw, mib::scalar::Id id, Charset charset, Gaps& gaps) {
  return text_or_gap(raw[id], charset, Localized::no, gaps.text_decoder,
                     [&](std::string_view what) { gap(id, what, gaps); });
}

model::System decode_system(const RawReading& raw, Gaps& gaps) {
  model::System system;
  // DisplayString is ASCII; what is not falls back as decode_text() says.
  system.description = text(raw, mib::scalar::sys_descr, Charset::ascii, gaps);
  if (const auto* id = std::get_if<Oid>(&raw[mib::scalar::sys_object_id])) system.object_id = to_text(*id);
  system.up_time = number<std::uint32_t>(raw, mib::scalar::sys_up_time, gaps);
  system.contact = text(raw, mib::scalar::sys_contact, Charset::ascii, gaps);
  system.name = text(raw, mib::scalar::sys_name, Charset::ascii, gaps);
  system.location = text(raw, mib::scalar::sys_location, Charset::ascii, gaps);
  return system;
}

model::HostStatus decode_host(const RawReading& raw, Gaps& gaps) {
  model::HostStatus host;
  host.description = text(raw, mib::scalar::hr_device_descr, Charset::ascii, gaps);
  if (const auto value = number<std::int32_t>(raw, mib::scalar::hr_device_status, gaps)) {
    host.device = static_cast<model::HostDeviceStatus>(*value);
  }
  if (const auto value = number<std::int32_t>(raw, mib::scalar::hr_printer_status, gaps)) {
    host.printer = static_cast<model::HostPrinterStatus>(*value);
  }
  const auto& errors = raw[mib::scalar::hr_printer_detected_error_state];
  if (const auto* octets = std::get_if<Octets>(&errors)) {
    if (octets->value.size() <= kMostErrorOctets)
      host.errors = model::ErrorBits::decode(octets->value);
    else
      gaps.add("hrPrinterDetectedErrorState is longer than any set of its bits");
  } else if (present(errors)) {
    gaps.add("hrPrinterDetectedErrorState is not a string of octets");
  }
  return host;
}

model::General decode_general(const RawReading& raw, Gaps& gaps) {
  model::General general;
  general.config_changes = number<std::uint32_t>(raw, mib::scalar::prt_general_config_changes, gaps);
  general.critical_events = number<std::uint32_t>(raw, mib::scalar::prt_alert_critical_events, gaps);
  general.all_events = number<std::uint32_t>(raw, mib::scalar::prt_alert_all_events, gaps);
  general.current_localization =
      number<std::int32_t>(raw, mib::scalar::prt_general_current_localization, gaps).value_or(0);
  general.console_localization = number<std::int32_t>(raw, mib::scalar::prt_console_localization, gaps).value_or(0);
  return general;
}

struct Charsets {
  Charset general = Charset::unknown;
  Charset console = Charset::unknown;
};

Charset charset_at(const std::vector<model::Localization>& localizations, std::int32_t index) {
  const auto found = std::ranges::find(localizations, index, &model::Localization::index);
  return found == localizations.end() ? Charset::unknown : found->charset;
}

model::Localization decode_localization(RowReader row, const Charsets&) {
  namespace at = mib::localization;
  model::Localization localization;
  localization.index = row.index();
  localization.language = row.text(at::language, Charset::ascii);
  localization.country = row.text(at::country, Charset::ascii);
  localization.charset = row.enumeration(at::character_set, Charset::unknown);
  return localization;
}

model::Cover decode_cover(RowReader row, const Charsets& charsets) {
  namespace at = mib::cover;
  model::Cover cover;
  cover.index = row.index();
  cover.description = row.localized(at::description, charsets.general);
  cover.status = row.enumeration(at::status, cover.status);
  return cover;
}

model::Input decode_input(RowReader row, const Charsets& charsets) {
  namespace at = mib::input;
  model::Input input;
  input.index = row.index();
  input.type = row.enumeration(at::type, input.type);
  input.unit = row.enumeration(at::capacity_unit, input.unit);
  input.max_capacity = row.capacity(at::max_capacity);
  input.current_level = row.level(at::current_level);
  input.status = row.status(at::status);
  input.name = row.text(at::name, charsets.general);
  input.description = row.localized(at::description, charsets.general);
  input.media_name = row.text(at::media_name, charsets.general);
  input.media_type = row.text(at::media_type, charsets.general);
  input.media_color = row.text(at::media_color, charsets.general);
  input.media_weight = row.amount(at::media_weight);
  return input;
}

model::Output decode_output(RowReader row, const Charsets& charsets) {
  namespace at = mib::output;
  model::Output output;
  output.index = row.index();
  output.type = row.enumeration(at::type, output.type);
  output.unit = row.enumeration(at::capacity_unit, output.unit);
  output.max_capacity = row.capacity(at::max_capacity);
  output.remaining_capacity = row.level(at::remaining_capacity);
  output.status = row.status(at::status);
  output.name = row.text(at::name, charsets.general);
  output.description = row.localized(at::description, charsets.general);
  return output;
}

model::Marker decode_marker(RowReader row, const Charsets&) {
  namespace at = mib::marker;
  model::Marker marker;
  marker.index = row.index();
  marker.mark_tech = row.enumeration(at::mark_tech, marker.mark_tech);
  marker.counter_unit = row.enumeration(at::counter_unit, marker.counter_unit);
  marker.life_count = row.number<std::uint32_t>(at::life_count);
  marker.power_on_count = row.number<std::uint32_t>(at::power_on_count);
  marker.status = row.status(at::status);
  return marker;
}

model::Colorant decode_colorant(RowReader row, const Charsets& charsets) {
  namespace at = mib::colorant;
  model::Colorant colorant;
  colorant.index = row.index();
  colorant.marker_index = row.integer(at::marker_index, 0);
  colorant.role = row.enumeration(at::role, colorant.role);
  colorant.value = row.text(at::value, charsets.general);
  return colorant;
}

model::Supply decode_supply(RowReader row, const Charsets& charsets) {
  namespace at = mib::supply;
  model::Supply supply;
  supply.index = row.index();
  supply.marker_index = row.integer(at::marker_index, 0);
  supply.colorant_index = row.integer(at::colorant_index, 0);
  supply.supply_class = row.enumeration(at::supply_class, supply.supply_class);
  supply.type = row.enumeration(at::type, supply.type);
  supply.description = row.localized(at::description, charsets.general);
  supply.unit = row.enumeration(at::unit, supply.unit);
  supply.max_capacity = row.capacity(at::max_capacity);
  supply.level = row.level(at::level);
  return supply;
}

model::MediaPath decode_media_path(RowReader row, const Charsets& charsets) {
  namespace at = mib::media_path;
  model::MediaPath path;
  path.index = row.index();
  path.type = row.enumeration(at::type, path.type);
  path.description = row.localized(at::description, charsets.general);
  path.max_speed = row.amount(at::max_speed);
  path.speed_unit = row.enumeration(at::speed_unit, path.speed_unit);
  path.status = row.status(at::status);
  return path;
}

model::Channel decode_channel(RowReader row, const Charsets& charsets) {
  namespace at = mib::channel;
  model::Channel channel;
  channel.index = row.index();
  channel.type = row.enumeration(at::type, channel.type);
  channel.protocol_version = row.text(at::protocol_version, charsets.general);
  channel.state = row.enumeration(at::state, channel.state);
  channel.status = row.status(at::status);
  channel.information = row.text(at::information, charsets.general);
  channel.current_job_language = row.integer(at::current_job_language, 0);
  channel.default_page_language = row.integer(at::default_page_language, 0);
  return channel;
}

model::Interpreter decode_interpreter(RowReader row, const Charsets& charsets) {
  namespace at = mib::interpreter;
  model::Interpreter interpreter;
  interpreter.index = row.index();
  interpreter.family = row.enumeration(at::lang_family, interpreter.family);
  interpreter.level = row.text(at::lang_level, charsets.general);
  interpreter.language_version = row.text(at::lang_version, charsets.general);
  interpreter.description = row.localized(at::description, charsets.general);
  interpreter.version = row.text(at::version, charsets.general);
  return interpreter;
}

model::ConsoleLine decode_console_line(RowReader row, const Charsets& charsets) {
  model::ConsoleLine line;
  line.index = row.index();
  line.text = row.localized(mib::console_line::text, charsets.console);
  return line;
}

model::ConsoleLight decode_console_light(RowReader row, const Charsets& charsets) {
  namespace at = mib::console_light;
  model::ConsoleLight light;
  light.index = row.index();
  light.description = row.localized(at::description, charsets.console);
  light.color = row.enumeration(at::color, light.color);
  light.on_time = row.integer(at::on_time, 0);
  light.off_time = row.integer(at::off_time, 0);
  return light;
}

// A row that went while it was read has lost cells; without these three numbers it says nothing.
bool is_whole_alert(const RowReader& row) {
  namespace at = mib::alert;
  return row.is_number(at::severity) && row.is_number(at::group) && row.is_number(at::code);
}

model::Alert decode_alert(RowReader row, const Charsets& charsets) {
  namespace at = mib::alert;
  model::Alert alert;
  alert.index = row.index();
  alert.severity = row.enumeration(at::severity, alert.severity);
  alert.training = row.enumeration(at::training, alert.training);
  alert.group = row.enumeration(at::group, alert.group);
  alert.group_index = row.integer(at::group_index, alert.group_index);
  alert.location = row.integer(at::location, alert.location);
  alert.code = row.enumeration(at::code, alert.code);
  alert.description = row.localized(at::description, charsets.general);
  alert.time = row.number<std::uint32_t>(at::time);
  return alert;
}

constexpr std::size_t kMostInterfaces = 8;

model::Interface decode_interface(RowReader row, const Charsets&) {
  namespace at = mib::network_interface;
  model::Interface interface;
  interface.index = row.index();
  interface.description = row.text(at::description, Charset::ascii);
  interface.type = row.integer(at::type, 0);
  interface.speed = row.number<std::uint32_t>(at::speed);
  interface.status = row.enumeration(at::oper_status, interface.status);
  interface.in_discards = row.number<std::uint32_t>(at::in_discards);
  interface.in_errors = row.number<std::uint32_t>(at::in_errors);
  interface.out_discards = row.number<std::uint32_t>(at::out_discards);
  interface.out_errors = row.number<std::uint32_t>(at::out_errors);
  return interface;
}

void keep_outer_interfaces(std::vector<model::Interface>& interfaces) {
  std::erase_if(interfaces, [](const auto& one) { return one.type == model::kSoftwareLoopback; });
  if (interfaces.size() > kMostInterfaces) interfaces.resize(kMostInterfaces);
}

model::DeviceIdRow decode_device_id(RowReader row, const Charsets&) {
  namespace at = mib::port_monitor;
  model::DeviceIdRow id;
  id.index = row.index();
  id.text = row.device_id(at::device_id);
  id.host_index = row.integer(at::host_index, 0);
  return id;
}

bool every_row(const RowReader&) { return true; }

// Fills one list of the snapshot from one table, or from the reading before.
class TableDecoder {
 public:
  TableDecoder(const RawReading& raw, TableSet read, const DeviceSnapshot* before, DeviceSnapshot& into, Gaps& gaps)
      : raw_(raw), read_(read), before_(before), into_(into), gaps_(gaps) {}

  Charsets charsets;

  template <class T>
  void list(mib::TableId id, std::vector<T> DeviceSnapshot::*member, T (*decode_row)(RowReader, const Charsets&),
            bool (*usable)(const RowReader&) = every_row) {
    if (!read_.test(static_cast<std::size_t>(id))) return;
    const auto& table = mib::table(id);
    const auto& read = raw_[id];
    for (const auto& note : read.notes) gaps_.add(note);
    if (!read.complete && before_ != nullptr) {
      gaps_.add(std::string(table.name) + ": shown as in the reading before");
      into_.*member = before_->*member;
      return;
    }
    auto& list = into_.*member;
    list.clear();
    list.reserve(read.rows.size());
    for (const auto& row : read.rows) {
      const RowReader reader(table, row, gaps_);
      if (usable(reader)) {
        list.push_back(decode_row(reader, charsets));
      } else {
        gaps_.add(std::string(table.name) + ": row " + std::to_string(row.index) + " is incomplete and was left out");
      }
    }
  }

 private:
  const RawReading& raw_;
  TableSet read_;
  const DeviceSnapshot* before_;
  DeviceSnapshot& into_;
  Gaps& gaps_;
};

Charsets charsets_of(const DeviceSnapshot& snapshot) {
  return {charset_at(snapshot.localizations, snapshot.general.current_localization),
          charset_at(snapshot.localizations, snapshot.general.console_localization)};
}

// All but the localizations, which the charsets come from.
void decode_lists(TableDecoder& tables) {
  using mib::TableId;
  tables.list(TableId::covers, &DeviceSnapshot::covers, decode_cover);
  tables.list(TableId::inputs, &DeviceSnapshot::inputs, decode_input);
  tables.list(TableId::outputs, &DeviceSnapshot::outputs, decode_output);
  tables.list(TableId::markers, &DeviceSnapshot::markers, decode_marker);
  tables.list(TableId::colorants, &DeviceSnapshot::colorants, decode_colorant);
  tables.list(TableId::supplies, &DeviceSnapshot::supplies, decode_supply);
  tables.list(TableId::media_paths, &DeviceSnapshot::media_paths, decode_media_path);
  tables.list(TableId::channels, &DeviceSnapshot::channels, decode_channel);
  tables.list(TableId::interpreters, &DeviceSnapshot::interpreters, decode_interpreter);
  tables.list(TableId::console, &DeviceSnapshot::console, decode_console_line);
  tables.list(TableId::lights, &DeviceSnapshot::lights, decode_console_light);
  tables.list(TableId::interfaces, &DeviceSnapshot::interfaces, decode_interface);
  tables.list(TableId::device_ids, &DeviceSnapshot::device_ids, decode_device_id);
  tables.list(TableId::alerts, &DeviceSnapshot::alerts, decode_alert, is_whole_alert);
}

// Whether a gap was noted while one of these tables was read.
bool is_about(std::string_view gap, TableSet read) {
  for (std::size_t i = 0; i < mib::tables.size(); ++i)
    if (read.test(i) && gap.starts_with(mib::tables[i].name) &&
        gap.substr(mib::tables[i].name.size()).starts_with(": "))
      return true;
  return false;
}

void name_colorants(DeviceSnapshot& snapshot) {
  for (auto& supply : snapshot.supplies) {
    if (supply.colorant_index == 0) continue;
    const auto found = std::ranges::find(snapshot.colorants, supply.colorant_index, &model::Colorant::index);
    if (found != snapshot.colorants.end()) supply.colorant = found->value;
  }
}

}  // namespace

bool RawReading::empty() const {
  return std::ranges::none_of(scalars, present) &&
         std::ranges::all_of(tables, [](const TableRows& table) { return table.rows.empty(); });
}

model::DeviceSnapshot decode(const RawReading& raw, const model::DeviceSnapshot* before) {
  DeviceSnapshot snapshot;
  Gaps gaps(snapshot.gaps);
  for (const auto& note : raw.notes) gaps.add(note);
  snapshot.system = decode_system(raw, gaps);
  snapshot.host = decode_host(raw, gaps);
  snapshot.host.index = static_cast<std::int32_t>(raw.host_index);
  snapshot.general = decode_general(raw, gaps);

  TableDecoder tables(raw, TableSet().set(), before, snapshot, gaps);
  tables.list(mib::TableId::localizations, &DeviceSnapshot::localizations, decode_localization);
  tables.charsets = charsets_of(snapshot);
  const auto charset = tables.charsets.general;
  snapshot.general.printer_name = text(raw, mib::scalar::prt_general_printer_name, charset, gaps);
  snapshot.general.serial_number = text(raw, mib::scalar::prt_general_serial_number, charset, gaps);
  decode_lists(tables);
  keep_outer_interfaces(snapshot.interfaces);
  name_colorants(snapshot);
  return snapshot;
}

bool is_nonsense(const RawReading& raw, const model::DeviceSnapshot& decoded) {
  const auto about_scalar = [](std::string_view gap) {
    return std::ranges::any_of(mib::scalars, [&](const auto& scalar) {
      const std::string_view name = scalar.object.name;
      return gap.starts_with(name) && gap.size() > name.size() && (gap[name.size()] == ' ' || gap[name.size()] == ':');
    });
  };
  const auto wrong = std::ranges::count_if(decoded.gaps, about_scalar);
  const auto elsewhere = std::ranges::count_if(raw.notes, about_scalar);
  return 2 * wrong > std::ranges::count_if(raw.scalars, present) + elsewhere;
}

model::DeviceSnapshot decode_tables(const RawReading& raw, TableSet read, const model::DeviceSnapshot& before) {
  DeviceSnapshot snapshot = before;
  std::erase_if(snapshot.gaps, [&](const std::string& gap) { return gap == kMoreGaps || is_about(gap, read); });
  Gaps gaps(snapshot.gaps);
  for (const auto& note : raw.notes) gaps.add(note);
  TableDecoder tables(raw, read, &before, snapshot, gaps);
  tables.list(mib::TableId::localizations, &DeviceSnapshot::localizations, decode_localization);
  tables.charsets = charsets_of(snapshot);
  decode_lists(tables);
  keep_outer_interfaces(snapshot.interfaces);
  name_colorants(snapshot);
  return snapshot;
}

std::string console_text(std::string_view octets, const model::DeviceSnapshot& device) {
  return model::decode_text(octets, charsets_of(device).console);
}

}  // namespace frisket::snmp
