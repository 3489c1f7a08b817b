// The enumerations of a printer's subunits and of its host status, as open types.
//
// Sources: RFC 3805 section 6, IANA-PRINTER-MIB (2014-05-22), RFC 2790.
#pragma once

#include <cstdint>
#include <span>

#include "probes/model/enum_names.h"

namespace frisket::model {

// RFC 2790 hrDeviceStatus.
enum class HostDeviceStatus : std::int32_t {
  unknown = 1,
  running = 2,
  warning = 3,
  testing = 4,
  down = 5,
};

// RFC 2790 hrPrinterStatus.
enum class HostPrinterStatus : std::int32_t {
  other = 1,
  unknown = 2,
  idle = 3,
  printing = 4,
  warmup = 5,
};

// RFC 3805 PrtCoverStatusTC; unknown(2) added by IANA in 2005.
enum class CoverStatus : std::int32_t {
  other = 1,
  unknown = 2,
  cover_open = 3,
  cover_closed = 4,
  interlock_open = 5,
  interlock_closed = 6,
};

// RFC 3805 PrtMediaUnitTC.
enum class MediaUnit : std::int32_t {
  ten_thousandths_of_inches = 3,
  micrometers = 4,
};

// RFC 3805 PrtCapacityUnitTC.
enum class CapacityUnit : std::int32_t {
  other = 1,
  unknown = 2,
  ten_thousandths_of_inches = 3,
  micrometers = 4,
  sheets = 8,
  feet = 16,
  meters = 17,
  items = 18,
  percent = 19,
};

// IANA-PRINTER-MIB PrtInputTypeTC.
enum class InputType : std::int32_t {
  other = 1,
  unknown = 2,
  sheet_feed_auto_removable_tray = 3,
  sheet_feed_auto_non_removable_tray = 4,
  sheet_feed_manual = 5,
  continuous_roll = 6,
  continuous_fan_fold = 7,
  sheet_feed_pull = 8,
};

// IANA-PRINTER-MIB PrtOutputTypeTC.
enum class OutputType : std::int32_t {
  other = 1,
  unknown = 2,
  removable_bin = 3,
  un_removable_bin = 4,
  continuous_roll_device = 5,
  mail_box = 6,
  continuous_fan_fold = 7,
};

// IANA-PRINTER-MIB PrtMarkerMarkTechTC.
enum class MarkTech : std::int32_t {
  other = 1,
  unknown = 2,
  electrophotographic_led = 3,
  electrophotographic_laser = 4,
  electrophotographic_other = 5,
  impact_moving_head_dot_matrix9pin = 6,
  impact_moving_head_dot_matrix24pin = 7,
  impact_moving_head_dot_matrix_other = 8,
  impact_moving_head_fully_formed = 9,
  impact_band = 10,
  impact_other = 11,
  inkjet_aqueous = 12,
  inkjet_solid = 13,
  inkjet_other = 14,
  pen = 15,
  thermal_transfer = 16,
  thermal_sensitive = 17,
  thermal_diffusion = 18,
  thermal_other = 19,
  electroerosion = 20,
  electrostatic = 21,
  photographic_microfiche = 22,
  photographic_imagesetter = 23,
  photographic_other = 24,
  ion_deposition = 25,
  e_beam = 26,
  typesetter = 27,
};

// RFC 3805 PrtMarkerCounterUnitTC.
enum class CounterUnit : std::int32_t {
  ten_thousandths_of_inches = 3,
  micrometers = 4,
  characters = 5,
  lines = 6,
  impressions = 7,
  sheets = 8,
  dot_row = 9,
  hours = 11,
  feet = 16,
  meters = 17,
};

// IANA-PRINTER-MIB PrtMarkerSuppliesTypeTC.
enum class SupplyType : std::int32_t {
  other = 1,
  unknown = 2,
  toner = 3,
  waste_toner = 4,
  ink = 5,
  ink_cartridge = 6,
  ink_ribbon = 7,
  waste_ink = 8,
  opc = 9,
  developer = 10,
  fuser_oil = 11,
  solid_wax = 12,
  ribbon_wax = 13,
  waste_wax = 14,
  fuser = 15,
  corona_wire = 16,
  fuser_oil_wick = 17,
  cleaner_unit = 18,
  fuser_cleaning_pad = 19,
  transfer_unit = 20,
  toner_cartridge = 21,
  fuser_oiler = 22,
  water = 23,
  waste_water = 24,
  glue_water_additive = 25,
  waste_paper = 26,
  binding_supply = 27,
  banding_supply = 28,
  stitching_wire = 29,
  shrink_wrap = 30,
  paper_wrap = 31,
  staples = 32,
  inserts = 33,
  covers = 34,
  matte_toner = 35,
  matte_ink = 36,
};

// RFC 3805 PrtMarkerSuppliesClassTC.
enum class SupplyClass : std::int32_t {
  other = 1,
  supply_that_is_consumed = 3,
  receptacle_that_is_filled = 4,
};

// RFC 3805 PrtMarkerSuppliesSupplyUnitTC (the standard spells hundreths so).
enum class SupplyUnit : std::int32_t {
  other = 1,
  unknown = 2,
  ten_thousandths_of_inches = 3,
  micrometers = 4,
  impressions = 7,
  sheets = 8,
  hours = 11,
  thousandths_of_ounces = 12,
  tenths_of_grams = 13,
  hundreths_of_fluid_ounces = 14,
  tenths_of_milliliters = 15,
  feet = 16,
  meters = 17,
  items = 18,
  percent = 19,
};

// RFC 3805 PrtMarkerColorantRoleTC.
enum class ColorantRole : std::int32_t {
  other = 1,
  process = 3,
  spot = 4,
};

// IANA-PRINTER-MIB PrtMediaPathTypeTC.
enum class MediaPathType : std::int32_t {
  other = 1,
  unknown = 2,
  long_edge_binding_duplex = 3,
  short_edge_binding_duplex = 4,
  simplex = 5,
};

// RFC 3805 PrtMediaPathMaxSpeedPrintUnitTC.
enum class SpeedUnit : std::int32_t {
  ten_thousandths_of_inches_per_hour = 3,
  micrometers_per_hour = 4,
  characters_per_hour = 5,
  lines_per_hour = 6,
  impressions_per_hour = 7,
  sheets_per_hour = 8,
  dot_row_per_hour = 9,
  feet_per_hour = 16,
  meters_per_hour = 17,
};

// IANA-PRINTER-MIB PrtConsoleColorTC.
enum class LightColor : std::int32_t {
  other = 1,
  unknown = 2,
  white = 3,
  red = 4,
  green = 5,
  blue = 6,
  cyan = 7,
  magenta = 8,
  yellow = 9,
  orange = 10,
};

// IANA-PRINTER-MIB PrtConsoleDisableTC.
enum class ConsoleDisable : std::int32_t {
  enabled = 3,
  disabled = 4,
};

template <>
std::span<const EnumName> listed<HostDeviceStatus>();
template <>
std::span<const EnumName> listed<HostPrinterStatus>();
template <>
std::span<const EnumName> listed<CoverStatus>();
template <>
std::span<const EnumName> listed<MediaUnit>();
template <>
std::span<const EnumName> listed<CapacityUnit>();
template <>
std::span<const EnumName> listed<InputType>();
template <>
std::span<const EnumName> listed<OutputType>();
template <>
std::span<const EnumName> listed<MarkTech>();
template <>
std::span<const EnumName> listed<CounterUnit>();
template <>
std::span<const EnumName> listed<SupplyType>();
template <>
std::span<const EnumName> listed<SupplyClass>();
template <>
std::span<const EnumName> listed<SupplyUnit>();
template <>
std::span<const EnumName> listed<ColorantRole>();
template <>
std::span<const EnumName> listed<MediaPathType>();
template <>
std::span<const EnumName> listed<SpeedUnit>();
template <>
std::span<const EnumName> listed<LightColor>();
template <>
std::span<const EnumName> listed<ConsoleDisable>();

}  // namespace frisket::model
