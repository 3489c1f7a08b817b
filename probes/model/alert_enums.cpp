#include "probes/model/alert_enums.h"

#include <array>

namespace frisket::model {
namespace {

constexpr std::array kAlertSeverity = {
    EnumName{1, "other"},
    EnumName{3, "critical"},
    EnumName{4, "warning"},
    EnumName{5, "warning-binary-change-event"},
};

constexpr std::array kAlertTraining = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "untrained"},
    EnumName{4, "trained"},
    EnumName{5, "field-service"},
    EnumName{6, "management"},
    EnumName{7, "no-intervention-required"},
};

constexpr std::array kAlertGroup = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "host-resources-mib-storage-table"},
    EnumName{4, "host-resources-mib-device-table"},
    EnumName{5, "general-printer"},
    EnumName{6, "cover"},
    EnumName{7, "localization"},
    EnumName{8, "input"},
    EnumName{9, "output"},
    EnumName{10, "marker"},
    EnumName{11, "marker-supplies"},
    EnumName{12, "marker-colorant"},
    EnumName{13, "media-path"},
    EnumName{14, "channel"},
    EnumName{15, "interpreter"},
    EnumName{16, "console-display-buffer"},
    EnumName{17, "console-lights"},
    EnumName{18, "alert"},
    EnumName{30, "fin-device"},
    EnumName{31, "fin-supply"},
    EnumName{32, "fin-supply-media-input"},
    EnumName{33, "fin-attribute"},
};

constexpr std::array kAlertCode = {
    EnumName{1, "other"},
    EnumName{2, "unknown"},
    EnumName{3, "cover-open"},
    EnumName{4, "cover-closed"},
    EnumName{5, "interlock-open"},
    EnumName{6, "interlock-closed"},
    EnumName{7, "configuration-change"},
    EnumName{8, "jam"},
    EnumName{9, "subunit-missing"},
    EnumName{10, "subunit-life-almost-over"},
    EnumName{11, "subunit-life-over"},
    EnumName{12, "subunit-almost-empty"},
    EnumName{13, "subunit-empty"},
    EnumName{14, "subunit-almost-full"},
    EnumName{15, "subunit-full"},
    EnumName{16, "subunit-near-limit"},
    EnumName{17, "subunit-at-limit"},
    EnumName{18, "subunit-opened"},
    EnumName{19, "subunit-closed"},
    EnumName{20, "subunit-turned-on"},
    EnumName{21, "subunit-turned-off"},
    EnumName{22, "subunit-offline"},
    EnumName{23, "subunit-power-saver"},
    EnumName{24, "subunit-warming-up"},
    EnumName{25, "subunit-added"},
    EnumName{26, "subunit-removed"},
    EnumName{27, "subunit-resource-added"},
    EnumName{28, "subunit-resource-removed"},
    EnumName{29, "subunit-recoverable-failure"},
    EnumName{30, "subunit-unrecoverable-failure"},
    EnumName{31, "subunit-recoverable-storage-error"},
    EnumName{32, "subunit-unrecoverable-storage-error"},
    EnumName{33, "subunit-motor-failure"},
    EnumName{34, "subunit-memory-exhausted"},
    EnumName{35, "subunit-under-temperature"},
    EnumName{36, "subunit-over-temperature"},
    EnumName{37, "subunit-timing-failure"},
    EnumName{38, "subunit-thermistor-failure"},
    EnumName{501, "door-open"},
    EnumName{502, "door-closed"},
    EnumName{503, "power-up"},
    EnumName{504, "power-down"},
    EnumName{505, "printer-nms-reset"},
    EnumName{506, "printer-manual-reset"},
    EnumName{507, "printer-ready-to-print"},
    EnumName{801, "input-media-tray-missing"},
    EnumName{802, "input-media-size-change"},
    EnumName{803, "input-media-weight-change"},
    EnumName{804, "input-media-type-change"},
    EnumName{805, "input-media-color-change"},
    EnumName{806, "input-media-form-parts-change"},
    EnumName{807, "input-media-supply-low"},
    EnumName{808, "input-media-supply-empty"},
    EnumName{809, "input-media-change-request"},
    EnumName{810, "input-manual-input-request"},
    EnumName{811, "input-tray-position-failure"},
    EnumName{812, "input-tray-elevation-failure"},
    EnumName{813, "input-cannot-feed-size-selected"},
    EnumName{901, "output-media-tray-missing"},
    EnumName{902, "output-media-tray-almost-full"},
    EnumName{903, "output-media-tray-full"},
    EnumName{904, "output-mailbox-select-failure"},
    EnumName{1001, "marker-fuser-under-temperature"},
    EnumName{1002, "marker-fuser-over-temperature"},
    EnumName{1003, "marker-fuser-timing-failure"},
    EnumName{1004, "marker-fuser-thermistor-failure"},
    EnumName{1005, "marker-adjusting-print-quality"},
    EnumName{1101, "marker-toner-empty"},
    EnumName{1102, "marker-ink-empty"},
    EnumName{1103, "marker-print-ribbon-empty"},
    EnumName{1104, "marker-toner-almost-empty"},
    EnumName{1105, "marker-ink-almost-empty"},
    EnumName{1106, "marker-print-ribbon-almost-empty"},
    EnumName{1107, "marker-waste-toner-receptacle-almost-full"},
    EnumName{1108, "marker-waste-ink-receptacle-almost-full"},
    EnumName{1109, "marker-waste-toner-receptacle-full"},
    EnumName{1110, "marker-waste-ink-receptacle-full"},
    EnumName{1111, "marker-opc-life-almost-over"},
    EnumName{1112, "marker-opc-life-over"},
    EnumName{1113, "marker-developer-almost-empty"},
    EnumName{1114, "marker-developer-empty"},
    EnumName{1115, "marker-toner-cartridge-missing"},
    EnumName{1301, "media-path-media-tray-missing"},
    EnumName{1302, "media-path-media-tray-almost-full"},
    EnumName{1303, "media-path-media-tray-full"},
    EnumName{1304, "media-path-cannot-duplex-media-selected"},
    EnumName{1501, "interpreter-memory-increase"},
    EnumName{1502, "interpreter-memory-decrease"},
    EnumName{1503, "interpreter-cartridge-added"},
    EnumName{1504, "interpreter-cartridge-deleted"},
    EnumName{1505, "interpreter-resource-added"},
    EnumName{1506, "interpreter-resource-deleted"},
    EnumName{1507, "interpreter-resource-unavailable"},
    EnumName{1509, "interpreter-complex-page-encountered"},
    EnumName{1801, "alert-removal-of-binary-change-entry"},
};

}  // namespace

template <>
std::span<const EnumName> listed<AlertSeverity>() {
  return kAlertSeverity;
}

template <>
std::span<const EnumName> listed<AlertTraining>() {
  return kAlertTraining;
}

template <>
std::span<const EnumName> listed<AlertGroup>() {
  return kAlertGroup;
}

template <>
std::span<const EnumName> listed<AlertCode>() {
  return kAlertCode;
}

}  // namespace frisket::model
