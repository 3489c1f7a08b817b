// From the state of a device's parts to what is so about them.
//
// Severity, code and error bit per condition: RFC 3805 sections 2.2.13 and 6 (PrtAlertCodeTC),
// RFC 2790 (hrPrinterDetectedErrorState). Where the standard leaves the choice of code to the
// maker, the model's alert_codes decides.
#include <algorithm>

#include "tests/simfleet/device.h"

namespace frisket::simfleet {
namespace {

constexpr std::int32_t kCritical = 3;
constexpr std::int32_t kBinaryWarning = 5;
constexpr std::int32_t kUntrained = 3;
constexpr std::int32_t kTrained = 4;
constexpr std::int32_t kFieldService = 5;

constexpr std::uint16_t bit(int n) { return static_cast<std::uint16_t>(0x8000U >> n); }
constexpr std::uint16_t kLowPaper = bit(0), kNoPaper = bit(1), kLowToner = bit(2), kNoToner = bit(3),
                        kDoorOpen = bit(4), kJammed = bit(5), kServiceRequested = bit(7), kInputTrayMissing = bit(8),
                        kOutputTrayMissing = bit(9), kMarkerSupplyMissing = bit(10), kOutputNearFull = bit(11),
                        kOutputFull = bit(12), kInputTrayEmpty = bit(13), kOverduePreventMaint = bit(14);

// How a kind of supply runs out.
struct RunsOut {
  std::int32_t low_generic, low_special, out_generic, out_special;
  std::uint16_t low_bits, out_bits;
  const char* low_text;
  const char* out_text;
  std::int32_t training;
};

RunsOut runs_out(const SupplyKind& kind) {
  switch (kind.type) {
    case 3:
    case 21:
    case 35:  // toner, tonerCartridge, matteToner
      return {12, 1104, 13, 1101, kLowToner, kNoToner, "low", "empty", kTrained};
    case 5:
    case 6:
    case 36:  // ink, inkCartridge, matteInk
      return {12, 1105, 13, 1102, kLowToner, kNoToner, "low", "empty", kUntrained};
    case 7:
    case 13:  // inkRibbon, ribbonWax
      return {12, 1106, 13, 1103, kLowToner, kNoToner, "low", "empty", kTrained};
    case 4:  // wasteToner
      return {14, 1107, 15, 1109, 0, kServiceRequested, "almost-full", "full", kTrained};
    case 8:  // wasteInk
      return {14, 1108, 15, 1110, 0, kServiceRequested, "almost-full", "full", kTrained};
    case 9:  // opc
      return {10,
              1111,
              11,
              1112,
              0,
              static_cast<std::uint16_t>(kServiceRequested | kOverduePreventMaint),
              "life-almost-over",
              "life-over",
              kTrained};
    case 10:  // developer
      return {12, 1113, 13, 1114, 0, kServiceRequested, "low", "empty", kFieldService};
    case 15:
    case 18:
    case 20:  // fuser, cleanerUnit, transferUnit
      return {10,
              10,
              11,
              11,
              0,
              static_cast<std::uint16_t>(kServiceRequested | kOverduePreventMaint),
              "life-almost-over",
              "life-over",
              kFieldService};
    default:
      if (kind.supply_class == 4) return {14, 14, 15, 15, 0, kServiceRequested, "almost-full", "full", kTrained};
      return {12, 12, 13, 13, 0, kServiceRequested, "low", "empty", kUntrained};
  }
}

}  // namespace

bool Device::feeds(std::size_t input) const {
  return trays_[input].present && trays_[input].level > 0 && !model_->inputs[input].manual;
}

void Device::add_cover_conditions(std::vector<Condition>& into) const {
  for (std::size_t i = 0; i < covers_open_.size(); ++i) {
    if (!covers_open_[i]) continue;
    const auto& kind = model_->covers[i];
    Condition c;
    c.severity = kind.stops ? kCritical : kBinaryWarning;
    c.training = kUntrained;
    c.subunit = {6, static_cast<std::int32_t>(i) + 1};
    c.code = kind.interlock ? 5 : 3;
    c.bits = kDoorOpen;
    c.text = "open";
    into.push_back(c);
  }
}

void Device::add_input_conditions(std::vector<Condition>& into) const {
  for (std::size_t i = 0; i < trays_.size(); ++i) {
    const auto& tray = trays_[i];
    const auto& kind = model_->inputs[i];
    if (kind.manual) continue;
    bool other = false;
    for (std::size_t k = 0; k < trays_.size(); ++k) other = other || (k != i && feeds(k));
    const bool stops = kind.stops || !other;
    Condition c;
    c.subunit = {8, static_cast<std::int32_t>(i) + 1};
    c.location = c.subunit.index;
    c.severity = stops ? kCritical : kBinaryWarning;
    c.unavailable = true;
    if (!tray.present) {
      c.code = model_->generic_codes ? 9 : 801;
      c.bits = kInputTrayMissing;
      c.text = "missing";
      into.push_back(c);
    } else if (tray.level <= 0) {
      c.code = model_->generic_codes ? 13 : 808;
      c.bits = static_cast<std::uint16_t>(kInputTrayEmpty | (stops ? kNoPaper : 0));
      c.text = "empty";
      into.push_back(c);
    } else if (tray.level <= kind.low_at) {
      c.severity = kBinaryWarning;
      c.unavailable = false;
      c.code = model_->generic_codes ? 12 : 807;
      c.bits = kLowPaper;
      c.text = "low";
      into.push_back(c);
    }
  }
}

void Device::add_output_conditions(std::vector<Condition>& into) const {
  for (std::size_t i = 0; i < bins_.size(); ++i) {
    const auto& bin = bins_[i];
    Condition c;
    c.subunit = {9, static_cast<std::int32_t>(i) + 1};
    c.location = c.subunit.index;
    c.severity = kCritical;
    if (!bin.present) {
      c.code = model_->generic_codes ? 9 : 901;
      c.bits = kOutputTrayMissing;
      c.text = "missing";
    } else if (bin.room <= 0) {
      c.code = model_->generic_codes ? 15 : 903;
      c.bits = kOutputFull;
      c.text = "full";
    } else if (bin.room * 10 <= model_->outputs[i].capacity) {
      c.severity = kBinaryWarning;
      c.code = model_->generic_codes ? 14 : 902;
      c.bits = kOutputNearFull;
      c.text = "almost-full";
    } else {
      continue;
    }
    into.push_back(c);
  }
}

void Device::add_supply_conditions(std::vector<Condition>& into) const {
  for (std::size_t i = 0; i < supplies_.size(); ++i) {
    const auto& supply = supplies_[i];
    const auto& kind = model_->supplies[i];
    const bool out = supply.level <= 0;
    if (supply.present && !out && supply.level * 100.0 > kind.low_at * kind.capacity) continue;
    const auto how = runs_out(kind);
    Condition c;
    c.subunit = {11, static_cast<std::int32_t>(i) + 1};
    c.training = how.training;
    c.severity = (out || !supply.present) && kind.stops ? kCritical : kBinaryWarning;
    if (!supply.present) {
      const bool toner = kind.type == 3 || kind.type == 21;
      c.code = model_->generic_codes || !toner ? 9 : 1115;
      c.bits = kMarkerSupplyMissing;
      c.text = "missing";
    } else if (out) {
      c.code = model_->generic_codes ? how.out_generic : how.out_special;
      c.bits = how.out_bits;
      c.text = how.out_text;
    } else {
      c.code = model_->generic_codes ? how.low_generic : how.low_special;
      c.bits = how.low_bits;
      c.text = how.low_text;
    }
    into.push_back(c);
  }
}

std::vector<Condition> Device::conditions() const {
  std::vector<Condition> all;
  for (const auto& subunit : jams_) {
    Condition c;
    c.severity = kCritical;
    c.training = kUntrained;
    c.subunit = subunit;
    c.location = subunit.index;
    c.code = 8;
    c.bits = kJammed;
    c.text = "jam";
    c.unavailable = true;
    all.push_back(c);
  }
  for (const auto& subunit : broken_) {
    Condition c;
    c.severity = kCritical;
    c.training = kFieldService;
    c.subunit = subunit;
    c.code = 30;
    c.bits = kServiceRequested;
    c.text = "broken";
    c.unavailable = true;
    all.push_back(c);
  }
  add_cover_conditions(all);
  add_input_conditions(all);
  add_output_conditions(all);
  add_supply_conditions(all);
  all.insert(all.end(), raw_alerts_.begin(), raw_alerts_.end());
  return all;
}

}  // namespace frisket::simfleet
