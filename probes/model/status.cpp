#include "probes/model/status.h"

#include <array>

namespace frisket::model {
namespace {

constexpr unsigned kAssignedBits = 15;

constexpr std::array<std::string_view, kAssignedBits> kBitLabels = {
    "low-paper",
    "no-paper",
    "low-toner",
    "no-toner",
    "door-open",
    "jammed",
    "offline",
    "service-requested",
    "input-tray-missing",
    "output-tray-missing",
    "marker-supply-missing",
    "output-near-full",
    "output-full",
    "input-tray-empty",
    "overdue-prevent-maint",
};

constexpr std::array<std::string_view, 8> kAvailabilityLabels = {
    "idle", "on request", "standby", "broken", "active", "unknown", "busy", "undefined",
};

}  // namespace

std::string_view to_text(ErrorBit bit) {
  const auto place = static_cast<unsigned>(bit);
  return place < kAssignedBits ? kBitLabels[place] : "unassigned";
}

ErrorBits::ErrorBits(std::initializer_list<ErrorBit> bits) {
  for (const auto bit : bits) bits_ = static_cast<std::uint16_t>(bits_ | (1U << static_cast<unsigned>(bit)));
}

ErrorBits ErrorBits::decode(std::string_view octets) {
  ErrorBits decoded;
  for (unsigned bit = 0; bit < kAssignedBits; ++bit) {
    const unsigned octet = bit / 8;
    if (octet >= octets.size()) break;
    const auto value = static_cast<unsigned char>(octets[octet]);
    if (value & (0x80U >> (bit % 8))) decoded.bits_ = static_cast<std::uint16_t>(decoded.bits_ | (1U << bit));
  }
  return decoded;
}

std::vector<ErrorBit> ErrorBits::list() const {
  std::vector<ErrorBit> set;
  for (unsigned bit = 0; bit < kAssignedBits; ++bit)
    if (has(static_cast<ErrorBit>(bit))) set.push_back(static_cast<ErrorBit>(bit));
  return set;
}

SubunitStatus SubunitStatus::decode(std::int32_t wire) {
  if (wire < 0) return {};
  SubunitStatus status;
  status.availability = static_cast<Availability>(wire & 7);
  status.non_critical_alerts = (wire & 8) != 0;
  status.critical_alerts = (wire & 16) != 0;
  status.off_line = (wire & 32) != 0;
  status.transitioning = (wire & 64) != 0;
  return status;
}

std::string to_text(const SubunitStatus& status) {
  std::string text(kAvailabilityLabels[static_cast<unsigned>(status.availability)]);
  if (status.non_critical_alerts) text += ", non-critical alerts";
  if (status.critical_alerts) text += ", critical alerts";
  if (status.off_line) text += ", off line";
  if (status.transitioning) text += ", transitioning";
  return text;
}

}  // namespace frisket::model
