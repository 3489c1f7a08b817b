// The objects that a reading is made of, and the tables they come in.
//
// Sources: RFC 3805 section 6 (Printer-MIB), RFC 2790 (HOST-RESOURCES-MIB), RFC 3418
// (SNMPv2-MIB), RFC 2863 (IF-MIB), PWG 5107.1 (PRINTER-PORT-MONITOR-MIB). tests/facts/printer-mib-objects.tsv holds the
// same numbers as a MIB parser gave them, and a test holds the two together. Only what is read is listed, and nothing
// is ever written: several of these objects are writable and dangerous (prtConsoleDisplayBufferText).
//
// Of each table the columns are listed in one array; the enumeration beside it names the
// places in that array, in the same order. Constants only; any thread.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "probes/snmp/oid.h"

namespace frisket::snmp::mib {

struct Object {
  std::string_view name;  // the standard's
  std::array<std::uint32_t, 16> ids{};
  std::size_t length = 0;

  constexpr OidView oid() const { return {ids.data(), length}; }
};

consteval Object object(std::string_view name, std::string_view dotted) {
  Object result{name, {}, 0};
  std::uint32_t id = 0;
  for (const char c : dotted) {
    if (c == '.') {
      result.ids.at(result.length++) = id;
      id = 0;
    } else {
      id = id * 10 + static_cast<std::uint32_t>(c - '0');
    }
  }
  result.ids.at(result.length++) = id;
  return result;
}

// The hrDeviceType of a printer (RFC 2790 section 4, hrDeviceTypes 5), and the column it is in.
inline constexpr Object hr_device_printer = object("hrDevicePrinter", "1.3.6.1.2.1.25.3.1.5");
inline constexpr Object hr_device_type = object("hrDeviceType", "1.3.6.1.2.1.25.3.2.1.2");

// What is asked by one GET beside the tables. The index of hrPrinterTable and that of the
// Printer MIB should be the same hrDeviceIndex; agents exist where they are not (common practice,
// no source), so each is found for itself.
enum class Instance { zero, host_index, printer_index };
struct Scalar {
  Object object;
  Instance instance;
};
namespace scalar {
enum Id : std::size_t {
  sys_descr,
  sys_object_id,
  sys_up_time,
  sys_contact,
  sys_name,
  sys_location,
  hr_device_descr,
  hr_device_status,
  hr_printer_status,
  hr_printer_detected_error_state,
  prt_general_config_changes,
  prt_general_current_localization,
  prt_console_localization,
  prt_general_printer_name,
  prt_general_serial_number,
  prt_alert_critical_events,
  prt_alert_all_events,
};
}  // namespace scalar
inline constexpr std::array scalars{
    Scalar{object("sysDescr", "1.3.6.1.2.1.1.1"), Instance::zero},
    Scalar{object("sysObjectID", "1.3.6.1.2.1.1.2"), Instance::zero},
    Scalar{object("sysUpTime", "1.3.6.1.2.1.1.3"), Instance::zero},
    Scalar{object("sysContact", "1.3.6.1.2.1.1.4"), Instance::zero},
    Scalar{object("sysName", "1.3.6.1.2.1.1.5"), Instance::zero},
    Scalar{object("sysLocation", "1.3.6.1.2.1.1.6"), Instance::zero},
    Scalar{object("hrDeviceDescr", "1.3.6.1.2.1.25.3.2.1.3"), Instance::host_index},
    Scalar{object("hrDeviceStatus", "1.3.6.1.2.1.25.3.2.1.5"), Instance::host_index},
    Scalar{object("hrPrinterStatus", "1.3.6.1.2.1.25.3.5.1.1"), Instance::host_index},
    Scalar{object("hrPrinterDetectedErrorState", "1.3.6.1.2.1.25.3.5.1.2"), Instance::host_index},
    Scalar{object("prtGeneralConfigChanges", "1.3.6.1.2.1.43.5.1.1.1"), Instance::printer_index},
    Scalar{object("prtGeneralCurrentLocalization", "1.3.6.1.2.1.43.5.1.1.2"), Instance::printer_index},
    Scalar{object("prtConsoleLocalization", "1.3.6.1.2.1.43.5.1.1.10"), Instance::printer_index},
    Scalar{object("prtGeneralPrinterName", "1.3.6.1.2.1.43.5.1.1.16"), Instance::printer_index},
    Scalar{object("prtGeneralSerialNumber", "1.3.6.1.2.1.43.5.1.1.17"), Instance::printer_index},
    Scalar{object("prtAlertCriticalEvents", "1.3.6.1.2.1.43.5.1.1.18"), Instance::printer_index},
    Scalar{object("prtAlertAllEvents", "1.3.6.1.2.1.43.5.1.1.19"), Instance::printer_index},
};

inline constexpr const Object& object_of(scalar::Id id) { return scalars[id].object; }

// Every table below has the index (hrDeviceIndex, row), unless its Table says otherwise.

namespace localization {
enum Column : std::size_t { language, country, character_set };
inline constexpr std::array columns{
    object("prtLocalizationLanguage", "1.3.6.1.2.1.43.7.1.1.2"),
    object("prtLocalizationCountry", "1.3.6.1.2.1.43.7.1.1.3"),
    object("prtLocalizationCharacterSet", "1.3.6.1.2.1.43.7.1.1.4"),
};
}  // namespace localization

namespace cover {
enum Column : std::size_t { description, status };
inline constexpr std::array columns{
    object("prtCoverDescription", "1.3.6.1.2.1.43.6.1.1.2"),
    object("prtCoverStatus", "1.3.6.1.2.1.43.6.1.1.3"),
};
}  // namespace cover

namespace input {
enum Column : std::size_t {
  type,
  capacity_unit,
  max_capacity,
  current_level,
  status,
  media_name,
  name,
  description,
  media_weight,
  media_type,
  media_color
};
inline constexpr std::array columns{
    object("prtInputType", "1.3.6.1.2.1.43.8.2.1.2"),         object("prtInputCapacityUnit", "1.3.6.1.2.1.43.8.2.1.8"),
    object("prtInputMaxCapacity", "1.3.6.1.2.1.43.8.2.1.9"),  object("prtInputCurrentLevel", "1.3.6.1.2.1.43.8.2.1.10"),
    object("prtInputStatus", "1.3.6.1.2.1.43.8.2.1.11"),      object("prtInputMediaName", "1.3.6.1.2.1.43.8.2.1.12"),
    object("prtInputName", "1.3.6.1.2.1.43.8.2.1.13"),        object("prtInputDescription", "1.3.6.1.2.1.43.8.2.1.18"),
    object("prtInputMediaWeight", "1.3.6.1.2.1.43.8.2.1.20"), object("prtInputMediaType", "1.3.6.1.2.1.43.8.2.1.21"),
    object("prtInputMediaColor", "1.3.6.1.2.1.43.8.2.1.22"),
};
}  // namespace input

namespace output {
enum Column : std::size_t { type, capacity_unit, max_capacity, remaining_capacity, status, name, description };
inline constexpr std::array columns{
    object("prtOutputType", "1.3.6.1.2.1.43.9.2.1.2"),
    object("prtOutputCapacityUnit", "1.3.6.1.2.1.43.9.2.1.3"),
    object("prtOutputMaxCapacity", "1.3.6.1.2.1.43.9.2.1.4"),
    object("prtOutputRemainingCapacity", "1.3.6.1.2.1.43.9.2.1.5"),
    object("prtOutputStatus", "1.3.6.1.2.1.43.9.2.1.6"),
    object("prtOutputName", "1.3.6.1.2.1.43.9.2.1.7"),
    object("prtOutputDescription", "1.3.6.1.2.1.43.9.2.1.12"),
};
}  // namespace output

namespace marker {
enum Column : std::size_t { mark_tech, counter_unit, life_count, power_on_count, status };
inline constexpr std::array columns{
    object("prtMarkerMarkTech", "1.3.6.1.2.1.43.10.2.1.2"),  object("prtMarkerCounterUnit", "1.3.6.1.2.1.43.10.2.1.3"),
    object("prtMarkerLifeCount", "1.3.6.1.2.1.43.10.2.1.4"), object("prtMarkerPowerOnCount", "1.3.6.1.2.1.43.10.2.1.5"),
    object("prtMarkerStatus", "1.3.6.1.2.1.43.10.2.1.15"),
};
}  // namespace marker

namespace supply {
enum Column : std::size_t { marker_index, colorant_index, supply_class, type, description, unit, max_capacity, level };
inline constexpr std::array columns{
    object("prtMarkerSuppliesMarkerIndex", "1.3.6.1.2.1.43.11.1.1.2"),
    object("prtMarkerSuppliesColorantIndex", "1.3.6.1.2.1.43.11.1.1.3"),
    object("prtMarkerSuppliesClass", "1.3.6.1.2.1.43.11.1.1.4"),
    object("prtMarkerSuppliesType", "1.3.6.1.2.1.43.11.1.1.5"),
    object("prtMarkerSuppliesDescription", "1.3.6.1.2.1.43.11.1.1.6"),
    object("prtMarkerSuppliesSupplyUnit", "1.3.6.1.2.1.43.11.1.1.7"),
    object("prtMarkerSuppliesMaxCapacity", "1.3.6.1.2.1.43.11.1.1.8"),
    object("prtMarkerSuppliesLevel", "1.3.6.1.2.1.43.11.1.1.9"),
};
}  // namespace supply

namespace colorant {
enum Column : std::size_t { marker_index, role, value };
inline constexpr std::array columns{
    object("prtMarkerColorantMarkerIndex", "1.3.6.1.2.1.43.12.1.1.2"),
    object("prtMarkerColorantRole", "1.3.6.1.2.1.43.12.1.1.3"),
    object("prtMarkerColorantValue", "1.3.6.1.2.1.43.12.1.1.4"),
};
}  // namespace colorant

namespace media_path {
enum Column : std::size_t { speed_unit, max_speed, type, description, status };
inline constexpr std::array columns{
    object("prtMediaPathMaxSpeedPrintUnit", "1.3.6.1.2.1.43.13.4.1.2"),
    object("prtMediaPathMaxSpeed", "1.3.6.1.2.1.43.13.4.1.4"),
    object("prtMediaPathType", "1.3.6.1.2.1.43.13.4.1.9"),
    object("prtMediaPathDescription", "1.3.6.1.2.1.43.13.4.1.10"),
    object("prtMediaPathStatus", "1.3.6.1.2.1.43.13.4.1.11"),
};
}  // namespace media_path

namespace channel {
enum Column : std::size_t {
  type,
  protocol_version,
  current_job_language,
  default_page_language,
  state,
  status,
  information
};
inline constexpr std::array columns{
    object("prtChannelType", "1.3.6.1.2.1.43.14.1.1.2"),
    object("prtChannelProtocolVersion", "1.3.6.1.2.1.43.14.1.1.3"),
    object("prtChannelCurrentJobCntlLangIndex", "1.3.6.1.2.1.43.14.1.1.4"),
    object("prtChannelDefaultPageDescLangIndex", "1.3.6.1.2.1.43.14.1.1.5"),
    object("prtChannelState", "1.3.6.1.2.1.43.14.1.1.6"),
    object("prtChannelStatus", "1.3.6.1.2.1.43.14.1.1.8"),
    object("prtChannelInformation", "1.3.6.1.2.1.43.14.1.1.9"),
};
}  // namespace channel

namespace interpreter {
enum Column : std::size_t { lang_family, lang_level, lang_version, description, version };
inline constexpr std::array columns{
    object("prtInterpreterLangFamily", "1.3.6.1.2.1.43.15.1.1.2"),
    object("prtInterpreterLangLevel", "1.3.6.1.2.1.43.15.1.1.3"),
    object("prtInterpreterLangVersion", "1.3.6.1.2.1.43.15.1.1.4"),
    object("prtInterpreterDescription", "1.3.6.1.2.1.43.15.1.1.5"),
    object("prtInterpreterVersion", "1.3.6.1.2.1.43.15.1.1.6"),
};
}  // namespace interpreter

namespace console_line {
enum Column : std::size_t { text };
inline constexpr std::array columns{
    object("prtConsoleDisplayBufferText", "1.3.6.1.2.1.43.16.5.1.2"),
};
}  // namespace console_line

namespace console_light {
enum Column : std::size_t { on_time, off_time, color, description };
inline constexpr std::array columns{
    object("prtConsoleOnTime", "1.3.6.1.2.1.43.17.6.1.2"),
    object("prtConsoleOffTime", "1.3.6.1.2.1.43.17.6.1.3"),
    object("prtConsoleColor", "1.3.6.1.2.1.43.17.6.1.4"),
    object("prtConsoleDescription", "1.3.6.1.2.1.43.17.6.1.5"),
};
}  // namespace console_light

// ifTable (RFC 2863). Errors and discards, not traffic: what a healthy interface never counts.
namespace network_interface {
enum Column : std::size_t { description, type, speed, oper_status, in_discards, in_errors, out_discards, out_errors };
inline constexpr std::array columns{
    object("ifDescr", "1.3.6.1.2.1.2.2.1.2"),        object("ifType", "1.3.6.1.2.1.2.2.1.3"),
    object("ifSpeed", "1.3.6.1.2.1.2.2.1.5"),        object("ifOperStatus", "1.3.6.1.2.1.2.2.1.8"),
    object("ifInDiscards", "1.3.6.1.2.1.2.2.1.13"),  object("ifInErrors", "1.3.6.1.2.1.2.2.1.14"),
    object("ifOutDiscards", "1.3.6.1.2.1.2.2.1.19"), object("ifOutErrors", "1.3.6.1.2.1.2.2.1.20"),
};
}  // namespace network_interface

// ppmPrinterTable (PWG 5107.1).
namespace port_monitor {
enum Column : std::size_t { device_id, host_index };
inline constexpr std::array columns{
    object("ppmPrinterIEEE1284DeviceId", "1.3.6.1.4.1.2699.1.2.1.2.1.1.3"),
    object("ppmPrinterHrDeviceIndex", "1.3.6.1.4.1.2699.1.2.1.2.1.1.6"),
};
}  // namespace port_monitor

namespace alert {
enum Column : std::size_t { severity, training, group, group_index, location, code, description, time };
inline constexpr std::array columns{
    object("prtAlertSeverityLevel", "1.3.6.1.2.1.43.18.1.1.2"),
    object("prtAlertTrainingLevel", "1.3.6.1.2.1.43.18.1.1.3"),
    object("prtAlertGroup", "1.3.6.1.2.1.43.18.1.1.4"),
    object("prtAlertGroupIndex", "1.3.6.1.2.1.43.18.1.1.5"),
    object("prtAlertLocation", "1.3.6.1.2.1.43.18.1.1.6"),
    object("prtAlertCode", "1.3.6.1.2.1.43.18.1.1.7"),
    object("prtAlertDescription", "1.3.6.1.2.1.43.18.1.1.8"),
    object("prtAlertTime", "1.3.6.1.2.1.43.18.1.1.9"),
};
}  // namespace alert

// What the rows of a table are told apart by: (hrDeviceIndex, row) in the Printer MIB, one number in
// hrDeviceTable and ifTable.
enum class Indexing { device_and_row, row };

struct Table {
  std::string_view name;  // ours, for people: "supplies"
  std::span<const Object> columns;
  std::size_t max_rows;  // more are left out, and said so
  Indexing indexing = Indexing::device_and_row;
};

// The numbers name the places in `tables`.
enum class TableId : std::size_t {
  localizations,
  covers,
  inputs,
  outputs,
  markers,
  colorants,
  supplies,
  media_paths,
  channels,
  interpreters,
  console,
  lights,
  interfaces,
  device_ids,
  alerts,
};

// In the order in which they are read: the charset first, since texts need it; alerts
// last, so that they are as fresh as the reading.
inline constexpr std::array tables{
    Table{"localizations", localization::columns, 64},
    Table{"covers", cover::columns, 128},
    Table{"inputs", input::columns, 128},
    Table{"outputs", output::columns, 128},
    Table{"markers", marker::columns, 128},
    Table{"colorants", colorant::columns, 128},
    Table{"supplies", supply::columns, 128},
    Table{"media paths", media_path::columns, 128},
    Table{"channels", channel::columns, 128},
    Table{"interpreters", interpreter::columns, 128},
    Table{"console", console_line::columns, 64},
    Table{"console lights", console_light::columns, 64},
    Table{"interfaces", network_interface::columns, 16, Indexing::row},
    Table{"device ids", port_monitor::columns, 16, Indexing::row},
    Table{"alerts", alert::columns, 128},
};

inline constexpr const Table& table(TableId id) { return tables[static_cast<std::size_t>(id)]; }

}  // namespace frisket::snmp::mib
