#include "probes/model/enums.h"

#include <array>

namespace frisket::model {
namespace {

constexpr std::array kHostDeviceStatus = {
    EnumName{1, "unknown"}, EnumName{2, "running"}, EnumName{3, "warning"}, EnumName{4, "testing"}, EnumName{5, "down"},
};

constexpr std::array kHostPrinterStatus = {
    EnumName{1, "other"}, EnumName{2, "unknown"}, EnumName{3, "idle"}, EnumName{4, "printing"}, EnumName{5, "warmup"},
};

constexpr std::array kCoverStatus = {
    EnumName{1, "other"},        EnumName{2, "unknown"},        EnumName{3, "cover-open"},
    EnumName{4, "cover-closed"}, EnumName{5, "interlock-open"}, EnumName{6, "interlock-closed"},
};

constexpr std::array kMediaUnit = {
    EnumName{3, "ten-thousandths-of-inches"},
    EnumName{4, "micrometers"},
};

constexpr std::array kCapacityUnit = {
    EnumName{1, "other"},       EnumName{2, "unknown"}, EnumName{3, "ten-thousandths-of-inches"},
    EnumName{4, "micrometers"}, EnumName{8, "sheets"},  EnumName{16, "feet"},
    EnumName{17, "meters"},     EnumName{18, "items"},  EnumName{19, "percent"},
};

constexpr std::array kInputType = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "sheet-feed-auto-removable-tray"},
    EnumName{4, "sheet-feed-auto-non-removable-tray"},
    EnumName{5, "sheet-feed-manual"},
    EnumName{6, "continuous-roll"},
    EnumName{7, "continuous-fan-fold"},
    EnumName{8, "sheet-feed-pull"},
};

constexpr std::array kOutputType = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "removable-bin"},
    EnumName{4, "un-removable-bin"},
    EnumName{5, "continuous-roll-device"},
    EnumName{6, "mail-box"},
    EnumName{7, "continuous-fan-fold"},
};

constexpr std::array kMarkTech = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "electrophotographic-led"},
    EnumName{4, "electrophotographic-laser"},
    EnumName{5, "electrophotographic-other"},
    EnumName{6, "impact-moving-head-dot-matrix9pin"},
    EnumName{7, "impact-moving-head-dot-matrix24pin"},
    EnumName{8, "impact-moving-head-dot-matrix-other"},
    EnumName{9, "impact-moving-head-fully-formed"},
    EnumName{10, "impact-band"},
    EnumName{11, "impact-other"},
    EnumName{12, "inkjet-aqueous"},
    EnumName{13, "inkjet-solid"},
    EnumName{14, "inkjet-other"},
    EnumName{15, "pen"},
    EnumName{16, "thermal-transfer"},
    EnumName{17, "thermal-sensitive"},
    EnumName{18, "thermal-diffusion"},
    EnumName{19, "thermal-other"},
    EnumName{20, "electroerosion"},
    EnumName{21, "electrostatic"},
    EnumName{22, "photographic-microfiche"},
    EnumName{23, "photographic-imagesetter"},
    EnumName{24, "photographic-other"},
    EnumName{25, "ion-deposition"},
    EnumName{26, "e-beam"},
    EnumName{27, "typesetter"},
};

constexpr std::array kCounterUnit = {
    EnumName{3, "ten-thousandths-of-inches"},
    EnumName{4, "micrometers"},
    EnumName{5, "characters"},
    EnumName{6, "lines"},
    EnumName{7, "impressions"},
    EnumName{8, "sheets"},
    EnumName{9, "dot-row"},
    EnumName{11, "hours"},
    EnumName{16, "feet"},
    EnumName{17, "meters"},
};

constexpr std::array kSupplyType = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "toner"},
    EnumName{4, "waste-toner"},
    EnumName{5, "ink"},
    EnumName{6, "ink-cartridge"},
    EnumName{7, "ink-ribbon"},
    EnumName{8, "waste-ink"},
    EnumName{9, "opc"},
    EnumName{10, "developer"},
    EnumName{11, "fuser-oil"},
    EnumName{12, "solid-wax"},
    EnumName{13, "ribbon-wax"},
    EnumName{14, "waste-wax"},
    EnumName{15, "fuser"},
    EnumName{16, "corona-wire"},
    EnumName{17, "fuser-oil-wick"},
    EnumName{18, "cleaner-unit"},
    EnumName{19, "fuser-cleaning-pad"},
    EnumName{20, "transfer-unit"},
    EnumName{21, "toner-cartridge"},
    EnumName{22, "fuser-oiler"},
    EnumName{23, "water"},
    EnumName{24, "waste-water"},
    EnumName{25, "glue-water-additive"},
    EnumName{26, "waste-paper"},
    EnumName{27, "binding-supply"},
    EnumName{28, "banding-supply"},
    EnumName{29, "stitching-wire"},
    EnumName{30, "shrink-wrap"},
    EnumName{31, "paper-wrap"},
    EnumName{32, "staples"},
    EnumName{33, "inserts"},
    EnumName{34, "covers"},
    EnumName{35, "matte-toner"},
    EnumName{36, "matte-ink"},
};

constexpr std::array kSupplyClass = {
    EnumName{1, "other"},
    EnumName{3, "supply-that-is-consumed"},
    EnumName{4, "receptacle-that-is-filled"},
};

constexpr std::array kSupplyUnit = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "ten-thousandths-of-inches"},
    EnumName{4, "micrometers"},
    EnumName{7, "impressions"},
    EnumName{8, "sheets"},
    EnumName{11, "hours"},
    EnumName{12, "thousandths-of-ounces"},
    EnumName{13, "tenths-of-grams"},
    EnumName{14, "hundreths-of-fluid-ounces"},
    EnumName{15, "tenths-of-milliliters"},
    EnumName{16, "feet"},
    EnumName{17, "meters"},
    EnumName{18, "items"},
    EnumName{19, "percent"},
};

constexpr std::array kColorantRole = {
    EnumName{1, "other"},
    EnumName{3, "process"},
    EnumName{4, "spot"},
};

constexpr std::array kMediaPathType = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "long-edge-binding-duplex"},
    EnumName{4, "short-edge-binding-duplex"},
    EnumName{5, "simplex"},
};

constexpr std::array kSpeedUnit = {
    EnumName{3, "ten-thousandths-of-inches-per-hour"},
    EnumName{4, "micrometers-per-hour"},
    EnumName{5, "characters-per-hour"},
    EnumName{6, "lines-per-hour"},
    EnumName{7, "impressions-per-hour"},
    EnumName{8, "sheets-per-hour"},
    EnumName{9, "dot-row-per-hour"},
    EnumName{16, "feet-per-hour"},
    EnumName{17, "meters-per-hour"},
};

constexpr std::array kLightColor = {
    EnumName{1, "other"}, EnumName{2, "unknown"}, EnumName{3, "white"},   EnumName{4, "red"},    EnumName{5, "green"},
    EnumName{6, "blue"},  EnumName{7, "cyan"},    EnumName{8, "magenta"}, EnumName{9, "yellow"}, EnumName{10, "orange"},
};

constexpr std::array kConsoleDisable = {
    EnumName{3, "enabled"},
    EnumName{4, "disabled"},
};

}  // namespace

template <>
std::span<const EnumName> listed<HostDeviceStatus>() {
  return kHostDeviceStatus;
}

template <>
std::span<const EnumName> listed<HostPrinterStatus>() {
  return kHostPrinterStatus;
}

template <>
std::span<const EnumName> listed<CoverStatus>() {
  return kCoverStatus;
}

template <>
std::span<const EnumName> listed<MediaUnit>() {
  return kMediaUnit;
}

template <>
std::span<const EnumName> listed<CapacityUnit>() {
  return kCapacityUnit;
}

template <>
std::span<const EnumName> listed<InputType>() {
  return kInputType;
}

template <>
std::span<const EnumName> listed<OutputType>() {
  return kOutputType;
}

template <>
std::span<const EnumName> listed<MarkTech>() {
  return kMarkTech;
}

template <>
std::span<const EnumName> listed<CounterUnit>() {
  return kCounterUnit;
}

template <>
std::span<const EnumName> listed<SupplyType>() {
  return kSupplyType;
}

template <>
std::span<const EnumName> listed<SupplyClass>() {
  return kSupplyClass;
}

template <>
std::span<const EnumName> listed<SupplyUnit>() {
  return kSupplyUnit;
}

template <>
std::span<const EnumName> listed<ColorantRole>() {
  return kColorantRole;
}

template <>
std::span<const EnumName> listed<MediaPathType>() {
  return kMediaPathType;
}

template <>
std::span<const EnumName> listed<SpeedUnit>() {
  return kSpeedUnit;
}

template <>
std::span<const EnumName> listed<LightColor>() {
  return kLightColor;
}

template <>
std::span<const EnumName> listed<ConsoleDisable>() {
  return kConsoleDisable;
}

}  // namespace frisket::model
