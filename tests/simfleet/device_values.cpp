// What a device's agent says: slots and alert rows from the state of its parts.
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "tests/simfleet/device.h"

namespace frisket::simfleet {
namespace {

constexpr std::int32_t kCritical = 3;

std::int32_t reported(Reports how, double level, double capacity) {
  switch (how) {
    case Reports::exact:
      // Rounded up: what is left is never told as nothing.
      return static_cast<std::int32_t>(std::ceil(level - 1e-9));
    case Reports::percent:
      return static_cast<std::int32_t>(std::ceil(level * 100.0 / capacity - 1e-9));
    case Reports::some_left:
      return level > 0 ? -3 : 0;
    case Reports::unknown:
      break;
  }
  return -2;
}

}  // namespace

// RFC 3805 PrtSubUnitStatusTC: availability + 8 non-critical + 16 critical + 32 off-line.
std::int32_t Device::subunit_status(Subunit subunit, const std::vector<Condition>& now_so) const {
  bool critical = false, other = false, unavailable = false;
  for (const auto& c : now_so) {
    if (!(c.subunit == subunit)) continue;
    (c.severity == kCritical ? critical : other) = true;
    unavailable = unavailable || c.unavailable;
  }
  const std::int32_t availability = critical ? 3 : unavailable ? 1 : printing() ? 4 : 0;
  return availability + (other ? 8 : 0) + (critical ? 16 : 0) + (offline_ ? 32 : 0);
}

// RFC 3805 section 2.2.13.2, the table, worst condition first.
std::pair<std::int32_t, std::int32_t> Device::host_status(const std::vector<Condition>& now_so, SimTime now) const {
  const bool critical =
      std::any_of(now_so.begin(), now_so.end(), [](const Condition& c) { return c.severity == kCritical; });
  if (critical || offline_) return {5, 1};
  if (warming(now)) return {5, 5};  // Moving on-line
  return {now_so.empty() ? 2 : 3, printing() ? 4 : 3};
}

std::string Device::error_state(const std::vector<Condition>& now_so) const {
  std::uint16_t bits = offline_ ? 0x0200 : 0;
  for (const auto& c : now_so) bits = static_cast<std::uint16_t>(bits | c.bits);
  std::string octets{static_cast<char>(bits >> 8), static_cast<char>(bits & 0xFF)};
  if (model_->short_error_state) octets.resize(1);
  return octets;
}

std::string Device::describe(const Condition& c) const {
  if (c.text == nullptr) return model_->encode(c.own);
  const auto row = static_cast<std::size_t>(c.subunit.index - 1);
  std::string name;
  switch (c.subunit.group) {
    case 6:
      name = model_->covers[row].name;
      break;
    case 8:
      name = model_->inputs[row].name;
      break;
    case 9:
      name = model_->outputs[row].name;
      break;
    case 10:
      name = "Marker " + std::to_string(c.subunit.index);
      break;
    case 11:
      name = model_->supplies[row].name;
      break;
    case 13:
      name = model_->paths[row].name;
      break;
    default:
      name = "Channel " + std::to_string(c.subunit.index);
      break;
  }
  return model_->encode(model_->say(c.text, name));
}

std::string Device::console_text(std::size_t line, const std::vector<Condition>& now_so, SimTime now) const {
  const auto width = static_cast<std::size_t>(model_->console_chars);
  if (!console_[line].empty()) return model_->encode(console_[line]).substr(0, width);
  std::vector<std::string> lines;
  if (offline_) lines.push_back(model_->encode(model_->say("off-line", "")));
  if (warming(now)) lines.push_back(model_->encode(model_->say("warming-up", "")));
  for (const bool critical : {true, false}) {
    for (const auto& c : now_so) {
      if ((c.severity == kCritical) == critical) lines.push_back(describe(c));
    }
    if (critical && lines.empty()) lines.push_back(model_->encode(model_->say(printing() ? "printing" : "ready", "")));
  }
  return line < lines.size() ? lines[line].substr(0, width) : std::string();
}

// on > 0 and off = 0 is lit, both > 0 blinks, on = 0 is dark (RFC 3805 prtConsoleOnTime).
bool Device::light(const LightKind& kind, bool off_phase, const std::vector<Condition>& now_so) const {
  if (kind.when == "attention") {
    const bool critical =
        std::any_of(now_so.begin(), now_so.end(), [](const Condition& c) { return c.severity == kCritical; });
    return off_phase ? !critical && !now_so.empty() : !now_so.empty();
  }
  if (kind.when == "data") return printing();
  return can_print_ && !off_phase;
}

void Device::fill_slot(const Slot& slot, const std::vector<Condition>& now_so, SimTime now) {
  auto& out = filled_.bytes;
  const auto row = static_cast<std::size_t>(slot.row == 0 ? 0 : slot.row - 1);
  const auto status = [&](std::int32_t group) { ber::append_integer(out, subunit_status({group, slot.row}, now_so)); };
  const auto counter = [&](std::uint32_t value) { ber::append_unsigned(out, value, ber::counter32); };
  switch (slot.kind) {
    case SlotKind::sys_name:
      ber::append_octets(out, identity_.name);
      break;
    case SlotKind::sys_location:
      ber::append_octets(out, model_->encode(identity_.location));
      break;
    case SlotKind::if_phys_address: {
      // A locally administered address made of the IPv4 address.
      std::string octets{2, 0};
      for (int shift = 24; shift >= 0; shift -= 8)
        octets.push_back(static_cast<char>((identity_.address >> shift) & 0xFF));
      ber::append_octets(out, octets);
      break;
    }
    case SlotKind::if_in_errors:
      counter(link_errors_);
      break;
    case SlotKind::device_status:
      ber::append_integer(out, host_status(now_so, now).first);
      break;
    case SlotKind::device_errors:
      counter(device_errors_);
      break;
    case SlotKind::printer_status:
      ber::append_integer(out, host_status(now_so, now).second);
      break;
    case SlotKind::error_state:
      ber::append_octets(out, error_state(now_so));
      break;
    case SlotKind::config_changes:
      counter(config_changes_);
      break;
    case SlotKind::printer_name:
      ber::append_octets(out, identity_.name);
      break;
    case SlotKind::serial_number:
      ber::append_octets(out, identity_.serial);
      break;
    case SlotKind::critical_events:
      counter(critical_events_);
      break;
    case SlotKind::all_events:
      counter(all_events_);
      break;
    case SlotKind::cover_status: {
      const bool interlock = model_->covers[row].interlock;
      ber::append_integer(out, covers_open_[row] ? (interlock ? 5 : 3) : (interlock ? 6 : 4));
      break;
    }
    case SlotKind::input_level:
      ber::append_integer(out, trays_[row].present ? reported(model_->inputs[row].reports, trays_[row].level,
                                                              model_->inputs[row].capacity)
                                                   : -2);
      break;
    case SlotKind::input_status:
      status(8);
      break;
    case SlotKind::input_media_name:
      ber::append_octets(out, model_->encode(trays_[row].media));
      break;
    case SlotKind::output_remaining:
      ber::append_integer(out, bins_[row].present ? reported(model_->outputs[row].reports, bins_[row].room,
                                                             model_->outputs[row].capacity)
                                                  : -2);
      break;
    case SlotKind::output_status:
      status(9);
      break;
    case SlotKind::marker_life:
      counter(slot.row == 1 ? life_ : 0);
      break;
    case SlotKind::marker_power_on:
      counter(slot.row == 1 ? power_on_ : 0);
      break;
    case SlotKind::marker_status:
      status(10);
      break;
    case SlotKind::supply_level:
      ber::append_integer(out, supplies_[row].present ? reported(model_->supplies[row].reports, supplies_[row].level,
                                                                 model_->supplies[row].capacity)
                                                      : -2);
      break;
    case SlotKind::media_path_status:
      status(13);
      break;
    case SlotKind::channel_status:
      status(14);
      break;
    case SlotKind::console_text:
      ber::append_octets(out, console_text(row, now_so, now));
      break;
    case SlotKind::light_on:
      ber::append_integer(out, light(model_->lights[row], false, now_so) ? 500 : 0);
      break;
    case SlotKind::light_off:
      ber::append_integer(out, light(model_->lights[row], true, now_so) ? 500 : 0);
      break;
    case SlotKind::device_id:
      ber::append_octets(out, "MFG:" + model_->maker + ";MDL:" + model_->name + ";SN:" + identity_.serial + ";");
      break;
  }
}

void Device::fill_extras() {
  extras_ = overrides_;
  const auto device = static_cast<std::uint32_t>(model_->device_index);
  for (const auto& row : alerts_) {
    for (std::uint32_t column = 1; column <= 9; ++column) {
      Extra extra{{1, 3, 6, 1, 2, 1, 43, 18, 1, 1, column, device, row.index}, {}, {}};
      const auto lacks = [&](const Oid& prefix) { return starts_with(extra.oid, prefix); };
      if (std::any_of(model_->lacks.begin(), model_->lacks.end(), lacks)) continue;
      if (std::any_of(overrides_.begin(), overrides_.end(), [&](const Extra& o) { return o.oid == extra.oid; }))
        continue;
      ber::append_oid(extra.name, extra.oid);
      const auto& c = row.condition;
      switch (column) {
        case 1:
          ber::append_integer(extra.value, row.index);
          break;
        case 2:
          ber::append_integer(extra.value, c.severity);
          break;
        case 3:
          ber::append_integer(extra.value, c.training);
          break;
        case 4:
          ber::append_integer(extra.value, c.subunit.group);
          break;
        case 5:
          ber::append_integer(extra.value, c.subunit.index);
          break;
        case 6:
          ber::append_integer(extra.value, c.location);
          break;
        case 7:
          ber::append_integer(extra.value, c.code);
          break;
        case 8:
          ber::append_octets(extra.value, describe(c).substr(0, 255));
          break;
        default:
          ber::append_unsigned(extra.value, row.raised, ber::time_ticks);
          break;
      }
      extras_.push_back(std::move(extra));
    }
  }
  std::sort(extras_.begin(), extras_.end(), [](const Extra& a, const Extra& b) { return a.oid < b.oid; });
}

void Device::fill(const std::vector<Condition>& now_so, SimTime now) {
  filled_.bytes.clear();
  filled_.ends.clear();
  for (const auto& slot : model_->mib.slots()) {
    fill_slot(slot, now_so, now);
    filled_.ends.push_back(static_cast<std::uint32_t>(filled_.bytes.size()));
  }
  fill_extras();
}

std::string Device::summary() const {
  const auto now_so = conditions();
  const auto [device, printer] = host_status(now_so, now_);
  std::string bits = error_state(now_so);
  char hex[8] = "";
  std::snprintf(hex, sizeof hex, "%02x%02x", static_cast<unsigned char>(bits[0]),
                bits.size() > 1 ? static_cast<unsigned char>(bits[1]) : 0U);
  return std::string(manners_.off ? "off" : "on") + " hrDeviceStatus=" + std::to_string(device) +
         " hrPrinterStatus=" + std::to_string(printer) + " errors=" + hex +
         " alerts=" + std::to_string(alerts_.size()) + " allEvents=" + std::to_string(all_events_) +
         " criticalEvents=" + std::to_string(critical_events_) + " pages=" + std::to_string(life_) +
         " requests=" + std::to_string(requests);
}

}  // namespace frisket::simfleet
