// What a device of one model has: its objects in order, shared by all devices of the model.
//
// An object's value is constant for the model (encoded here once), or a slot that each
// device fills (view.h). So ten thousand devices cost one list of names and a few
// hundred octets each. Immutable once built; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "tests/simfleet/ber.h"

namespace frisket::simfleet {

// What a device fills in. `row` in Slot is the index in its table, from 1.
enum class SlotKind : std::uint8_t {
  sys_name,
  sys_location,
  if_phys_address,
  if_in_errors,
  device_status,
  device_errors,
  printer_status,
  error_state,
  config_changes,
  printer_name,
  serial_number,
  critical_events,
  all_events,
  cover_status,
  input_level,
  input_status,
  input_media_name,
  output_remaining,
  output_status,
  marker_life,
  marker_power_on,
  marker_status,
  supply_level,
  media_path_status,
  channel_status,
  console_text,
  light_on,
  light_off,
  device_id,
};

struct Slot {
  SlotKind kind;
  std::uint16_t row = 0;
  friend bool operator==(const Slot&, const Slot&) = default;
};

class Mib {
 public:
  Mib() = default;
  Mib(const Mib&) = delete;  // by_name_ points into entries_
  Mib& operator=(const Mib&) = delete;

  static constexpr std::int32_t kConstant = -1;
  static constexpr std::int32_t kUptime = -2;  // encoded when asked, from the device's clock

  struct Entry {
    Oid oid;
    std::string name;   // the encoded OID element
    std::string value;  // the encoded value, if constant
    std::int32_t slot = kConstant;
  };

  // Building: in any order, then finish() once.
  void add(Oid oid, std::string encoded_value);
  void add(Oid oid, Slot slot);
  void add_uptime(Oid oid);
  void add_object(Oid object);  // a column that may have no row at the moment
  void remove(OidView prefix);  // what devices of this model lack
  void finish();

  const std::vector<Entry>& entries() const { return entries_; }
  const std::vector<Slot>& slots() const { return slots_; }

  // The entry of exactly this encoded name; nullptr if there is none.
  const Entry* find(std::string_view name) const;

  // The first entry after `oid`; entries().size() if none.
  std::size_t after(OidView oid) const;

  // Whether `oid` lies under an object that devices of this model implement: then it is
  // noSuchInstance rather than noSuchObject (RFC 3416 section 4.2.1).
  bool implements(OidView oid) const;

 private:
  std::vector<Entry> entries_;
  std::vector<Slot> slots_;
  std::vector<Oid> objects_;
  std::unordered_map<std::string_view, const Entry*> by_name_;
};

bool starts_with(OidView oid, OidView prefix);

}  // namespace frisket::simfleet
