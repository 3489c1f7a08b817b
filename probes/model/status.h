// Bit-packed states of RFC 3805 and RFC 2790, decoded.
//
// Pure values; any thread.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::model {

// hrPrinterDetectedErrorState (RFC 2790; bits 8 to 14 are not in RFC 1514). Bit n is in
// octet n/8 under the mask 0x80 >> (n % 8).
enum class ErrorBit : std::uint8_t {
  low_paper = 0,
  no_paper = 1,
  low_toner = 2,
  no_toner = 3,
  door_open = 4,
  jammed = 5,
  offline = 6,
  service_requested = 7,
  input_tray_missing = 8,
  output_tray_missing = 9,
  marker_supply_missing = 10,
  output_near_full = 11,
  output_full = 12,
  input_tray_empty = 13,
  overdue_prevent_maint = 14,
};

std::string_view to_text(ErrorBit bit);  // "low-paper"

class ErrorBits {
 public:
  ErrorBits() = default;
  ErrorBits(std::initializer_list<ErrorBit> bits);

  // Any length is legal: agents of RFC 1514 send one octet. Bit 15 and whatever follows
  // is not assigned and is ignored.
  static ErrorBits decode(std::string_view octets);

  bool has(ErrorBit bit) const { return (bits_ >> static_cast<unsigned>(bit)) & 1U; }
  bool none() const { return bits_ == 0; }
  std::vector<ErrorBit> list() const;

  friend bool operator==(const ErrorBits&, const ErrorBits&) = default;

 private:
  std::uint16_t bits_ = 0;  // bit n of the standard is bit n here
};

// PrtSubUnitStatusTC (RFC 3805): an availability in the low three bits, then flags.
struct SubunitStatus {
  enum class Availability : std::uint8_t {
    idle = 0,
    on_request = 1,  // unavailable and on request
    standby = 2,
    broken = 3,  // unavailable because broken
    active = 4,
    unknown = 5,
    busy = 6,
    undefined = 7,  // the standard leaves 7 open
  };

  Availability availability = Availability::unknown;
  bool non_critical_alerts = false;
  bool critical_alerts = false;
  bool off_line = false;
  bool transitioning = false;

  // A negative value, which the standard does not define, counts as unknown.
  static SubunitStatus decode(std::int32_t wire);

  friend bool operator==(const SubunitStatus&, const SubunitStatus&) = default;
};

// "idle", "broken, critical alerts"
std::string to_text(const SubunitStatus& status);

}  // namespace frisket::model
