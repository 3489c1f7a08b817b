// The enumerations of the alert table, as open types.
//
// Sources: RFC 3805 section 6, IANA-PRINTER-MIB (2014-05-22). Later editions of the
// registry add groups and codes: unknown numbers are normal here.
#pragma once

#include <cstdint>
#include <span>

#include "probes/model/enum_names.h"

namespace frisket::model {

// RFC 3805 PrtAlertSeverityLevelTC; value 2 does not exist.
enum class AlertSeverity : std::int32_t {
  other = 1,
  critical = 3,
  warning = 4,
  warning_binary_change_event = 5,
};

// IANA-PRINTER-MIB PrtAlertTrainingLevelTC.
enum class AlertTraining : std::int32_t {
  other = 1,
  unknown = 2,
  untrained = 3,
  trained = 4,
  field_service = 5,
  management = 6,
  no_intervention_required = 7,
};

// IANA-PRINTER-MIB PrtAlertGroupTC.
enum class AlertGroup : std::int32_t {
  other = 1,
  unknown = 2,
  host_resources_mib_storage_table = 3,
  host_resources_mib_device_table = 4,
  general_printer = 5,
  cover = 6,
  localization = 7,
  input = 8,
  output = 9,
  marker = 10,
  marker_supplies = 11,
  marker_colorant = 12,
  media_path = 13,
  channel = 14,
  interpreter = 15,
  console_display_buffer = 16,
  console_lights = 17,
  alert = 18,
  fin_device = 30,
  fin_supply = 31,
  fin_supply_media_input = 32,
  fin_attribute = 33,
};

// IANA-PRINTER-MIB PrtAlertCodeTC up to 1801; finisher codes (30000 + 100 * device + generic) are computed.
enum class AlertCode : std::int32_t {
  other = 1,
  unknown = 2,
  cover_open = 3,
  cover_closed = 4,
  interlock_open = 5,
  interlock_closed = 6,
  configuration_change = 7,
  jam = 8,
  subunit_missing = 9,
  subunit_life_almost_over = 10,
  subunit_life_over = 11,
  subunit_almost_empty = 12,
  subunit_empty = 13,
  subunit_almost_full = 14,
  subunit_full = 15,
  subunit_near_limit = 16,
  subunit_at_limit = 17,
  subunit_opened = 18,
  subunit_closed = 19,
  subunit_turned_on = 20,
  subunit_turned_off = 21,
  subunit_offline = 22,
  subunit_power_saver = 23,
  subunit_warming_up = 24,
  subunit_added = 25,
  subunit_removed = 26,
  subunit_resource_added = 27,
  subunit_resource_removed = 28,
  subunit_recoverable_failure = 29,
  subunit_unrecoverable_failure = 30,
  subunit_recoverable_storage_error = 31,
  subunit_unrecoverable_storage_error = 32,
  subunit_motor_failure = 33,
  subunit_memory_exhausted = 34,
  subunit_under_temperature = 35,
  subunit_over_temperature = 36,
  subunit_timing_failure = 37,
  subunit_thermistor_failure = 38,
  door_open = 501,
  door_closed = 502,
  power_up = 503,
  power_down = 504,
  printer_nms_reset = 505,
  printer_manual_reset = 506,
  printer_ready_to_print = 507,
  input_media_tray_missing = 801,
  input_media_size_change = 802,
  input_media_weight_change = 803,
  input_media_type_change = 804,
  input_media_color_change = 805,
  input_media_form_parts_change = 806,
  input_media_supply_low = 807,
  input_media_supply_empty = 808,
  input_media_change_request = 809,
  input_manual_input_request = 810,
  input_tray_position_failure = 811,
  input_tray_elevation_failure = 812,
  input_cannot_feed_size_selected = 813,
  output_media_tray_missing = 901,
  output_media_tray_almost_full = 902,
  output_media_tray_full = 903,
  output_mailbox_select_failure = 904,
  marker_fuser_under_temperature = 1001,
  marker_fuser_over_temperature = 1002,
  marker_fuser_timing_failure = 1003,
  marker_fuser_thermistor_failure = 1004,
  marker_adjusting_print_quality = 1005,
  marker_toner_empty = 1101,
  marker_ink_empty = 1102,
  marker_print_ribbon_empty = 1103,
  marker_toner_almost_empty = 1104,
  marker_ink_almost_empty = 1105,
  marker_print_ribbon_almost_empty = 1106,
  marker_waste_toner_receptacle_almost_full = 1107,
  marker_waste_ink_receptacle_almost_full = 1108,
  marker_waste_toner_receptacle_full = 1109,
  marker_waste_ink_receptacle_full = 1110,
  marker_opc_life_almost_over = 1111,
  marker_opc_life_over = 1112,
  marker_developer_almost_empty = 1113,
  marker_developer_empty = 1114,
  marker_toner_cartridge_missing = 1115,
  media_path_media_tray_missing = 1301,
  media_path_media_tray_almost_full = 1302,
  media_path_media_tray_full = 1303,
  media_path_cannot_duplex_media_selected = 1304,
  interpreter_memory_increase = 1501,
  interpreter_memory_decrease = 1502,
  interpreter_cartridge_added = 1503,
  interpreter_cartridge_deleted = 1504,
  interpreter_resource_added = 1505,
  interpreter_resource_deleted = 1506,
  interpreter_resource_unavailable = 1507,
  interpreter_complex_page_encountered = 1509,
  alert_removal_of_binary_change_entry = 1801,
};

template <>
std::span<const EnumName> listed<AlertSeverity>();
template <>
std::span<const EnumName> listed<AlertTraining>();
template <>
std::span<const EnumName> listed<AlertGroup>();
template <>
std::span<const EnumName> listed<AlertCode>();

}  // namespace frisket::model
