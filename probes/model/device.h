// What one device says of itself: the Printer MIB's subunits as values.
//
// A DeviceSnapshot is complete and immutable once a probe has built it; it is shared by
// pointer between the reading, the incident rules and the JSON. Every text is bounded
// UTF-8 (see text.h), every list is bounded by the probe, rows are in order of index.
// Fields that a device may lack are optional; an empty text means "not said". The names
// are those of RFC 3805 without the prt prefix; a probe that speaks another protocol
// fills the same fields. Pure values; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "probes/model/alert_enums.h"
#include "probes/model/channel_enums.h"
#include "probes/model/enums.h"
#include "probes/model/interface.h"
#include "probes/model/quantity.h"
#include "probes/model/status.h"
#include "probes/model/subunit.h"
#include "probes/model/text.h"

namespace frisket::model {

// SNMPv2-MIB system group (RFC 3418). up_time is in hundredths of a second and wraps.
struct System {
  std::string description;
  std::string object_id;  // dotted
  std::optional<std::uint32_t> up_time;
  std::string name;
  std::string location;
  std::string contact;
  friend bool operator==(const System&, const System&) = default;
};

// hrDeviceTable and hrPrinterTable (RFC 2790).
struct HostStatus {
  std::string description;  // hrDeviceDescr: usually maker and model
  std::optional<HostDeviceStatus> device;
  std::optional<HostPrinterStatus> printer;
  std::optional<ErrorBits> errors;
  std::int32_t index = 0;  // hrDeviceIndex of the printer; 0: not known
  friend bool operator==(const HostStatus&, const HostStatus&) = default;
};

// prtGeneralTable. The counters are 32 bits wide and wrap.
struct General {
  std::optional<std::uint32_t> config_changes;
  std::optional<std::uint32_t> critical_events;  // optional group: many devices lack both
  std::optional<std::uint32_t> all_events;
  std::string printer_name;
  std::string serial_number;
  std::int32_t current_localization = 0;
  std::int32_t console_localization = 0;
  friend bool operator==(const General&, const General&) = default;
};

struct Localization {
  std::int32_t index = 0;
  std::string language;  // ISO 639
  std::string country;   // ISO 3166
  Charset charset = Charset::unknown;
  friend bool operator==(const Localization&, const Localization&) = default;
};

struct Cover {
  std::int32_t index = 0;
  std::string description;
  CoverStatus status = CoverStatus::unknown;
  bool open() const { return status == CoverStatus::cover_open || status == CoverStatus::interlock_open; }
  friend bool operator==(const Cover&, const Cover&) = default;
};

struct Input {
  std::int32_t index = 0;
  InputType type = InputType::unknown;
  CapacityUnit unit = CapacityUnit::unknown;
  Capacity max_capacity;
  Level current_level;
  SubunitStatus status;
  std::string name;
  std::string description;
  std::string media_name;
  std::string media_type;
  std::string media_color;
  std::optional<std::int32_t> media_weight;  // g/m2
  friend bool operator==(const Input&, const Input&) = default;
};

struct Output {
  std::int32_t index = 0;
  OutputType type = OutputType::unknown;
  CapacityUnit unit = CapacityUnit::unknown;
  Capacity max_capacity;
  Level remaining_capacity;  // room left
  SubunitStatus status;
  std::string name;
  std::string description;
  friend bool operator==(const Output&, const Output&) = default;
};

struct Marker {
  std::int32_t index = 0;
  MarkTech mark_tech = MarkTech::unknown;
  CounterUnit counter_unit = CounterUnit::impressions;
  std::optional<std::uint32_t> life_count;      // in counter_unit; wraps
  std::optional<std::uint32_t> power_on_count;  // in counter_unit since power-on
  SubunitStatus status;
  friend bool operator==(const Marker&, const Marker&) = default;
};

struct Colorant {
  std::int32_t index = 0;
  std::int32_t marker_index = 0;
  ColorantRole role = ColorantRole::other;
  std::string value;  // "black", "cyan", ...
  friend bool operator==(const Colorant&, const Colorant&) = default;
};

struct Supply {
  std::int32_t index = 0;
  std::int32_t marker_index = 0;
  std::int32_t colorant_index = 0;
  SupplyClass supply_class = SupplyClass::other;
  SupplyType type = SupplyType::unknown;
  std::string description;
  std::string colorant;  // of the colorant row it points at; empty: none
  SupplyUnit unit = SupplyUnit::unknown;
  Capacity max_capacity;
  Level level;  // contents left, or for a receptacle the room left
  std::optional<double> percent() const { return percent_of(level, max_capacity); }
  bool is_receptacle() const { return supply_class == SupplyClass::receptacle_that_is_filled; }
  friend bool operator==(const Supply&, const Supply&) = default;
};

struct MediaPath {
  std::int32_t index = 0;
  MediaPathType type = MediaPathType::unknown;
  std::string description;
  std::optional<std::int32_t> max_speed;  // in speed_unit
  SpeedUnit speed_unit = SpeedUnit::sheets_per_hour;
  SubunitStatus status;
  friend bool operator==(const MediaPath&, const MediaPath&) = default;
};

struct Channel {
  std::int32_t index = 0;
  ChannelType type = ChannelType::unknown;
  std::string protocol_version;
  ChannelState state = ChannelState::other;
  SubunitStatus status;
  std::string information;
  std::int32_t current_job_language = 0;  // index into the interpreters; 0: none
  std::int32_t default_page_language = 0;
  friend bool operator==(const Channel&, const Channel&) = default;
};

struct Interpreter {
  std::int32_t index = 0;
  LangFamily family = LangFamily::unknown;
  std::string level;
  std::string language_version;
  std::string description;
  std::string version;
  friend bool operator==(const Interpreter&, const Interpreter&) = default;
};

struct ConsoleLine {
  std::int32_t index = 0;
  std::string text;
  friend bool operator==(const ConsoleLine&, const ConsoleLine&) = default;
};

struct ConsoleLight {
  std::int32_t index = 0;
  std::string description;
  LightColor color = LightColor::unknown;
  std::int32_t on_time = 0;   // milliseconds; 0: dark
  std::int32_t off_time = 0;  // milliseconds; 0 with a non-zero on_time: steadily lit
  bool lit() const { return on_time > 0; }
  friend bool operator==(const ConsoleLight&, const ConsoleLight&) = default;
};

// One row of prtAlertTable. index is only the row's place in the device's table: the
// same trouble may come back under another (RFC 3805 section 2.2.13), so never a key.
struct Alert {
  std::int32_t index = 0;
  AlertSeverity severity = AlertSeverity::other;
  AlertTraining training = AlertTraining::unknown;
  AlertGroup group = AlertGroup::unknown;
  std::int32_t group_index = -1;
  std::int32_t location = -2;
  AlertCode code = AlertCode::unknown;
  std::string description;
  std::optional<std::uint32_t> time;  // sysUpTime when it was added, 1/100 s
  Subunit subunit() const { return subunit_of(group, group_index); }
  friend bool operator==(const Alert&, const Alert&) = default;
};

// One printer of the port monitor's table (PWG 5107.1) with its IEEE 1284 device id.
struct DeviceIdRow {
  std::int32_t index = 0;
  std::string text;             // identity.h reads it; at most kMaxDeviceId bytes
  std::int32_t host_index = 0;  // hrDeviceIndex of the same printer; 0: not said
  friend bool operator==(const DeviceIdRow&, const DeviceIdRow&) = default;
};
inline constexpr std::size_t kMaxDeviceId = 1023;  // PWG 5107.1, ppmPrinterIEEE1284DeviceId

struct DeviceSnapshot {
  System system;
  HostStatus host;
  General general;
  std::vector<Localization> localizations;
  std::vector<Cover> covers;
  std::vector<Input> inputs;
  std::vector<Output> outputs;
  std::vector<Marker> markers;
  std::vector<Colorant> colorants;
  std::vector<Supply> supplies;
  std::vector<MediaPath> media_paths;
  std::vector<Channel> channels;
  std::vector<Interpreter> interpreters;
  std::vector<ConsoleLine> console;
  std::vector<ConsoleLight> lights;
  std::vector<Interface> interfaces;  // at most 8, no loopback
  std::vector<DeviceIdRow> device_ids;
  std::vector<Alert> alerts;

  // Impressions in colour of all that it has counted, modulo 2^32: full-color and highlight-color, on one side and on
  // two, of IPP's printer-impressions-completed-col. The Printer MIB has no such counter.
  std::optional<std::uint32_t> colour_impressions;

  // What the probe had to leave out or could not read, in words for a person; empty
  // when the reading is whole. ("supplies: more than 128 rows, the rest left out")
  std::vector<std::string> gaps;

  // The page counter: the sum of prtMarkerLifeCount over the markers that count
  // impressions, or nothing.
  std::optional<std::uint64_t> impressions() const;

  friend bool operator==(const DeviceSnapshot&, const DeviceSnapshot&) = default;
};

}  // namespace frisket::model
