// What the daemon answers (docs/api.md), decoded into values.
//
// Missing fields read as empty; a field of the wrong kind makes the whole answer
// nonsense (Error::Kind::nonsense). All texts are inert. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/client/fields.h"

namespace frisket::client {

using model::Result;
using model::Severity;
using model::WallTime;

// The states of a device in the order in which they are told.
inline constexpr const char* kDeviceStates[] = {"ready", "busy", "attention", "stopped", "silent", "unknown"};

struct Witness {
  std::string source;
  std::string says;
};

struct Condition {
  std::string keyword;
  std::optional<Severity> severity;
  std::string training;
  std::string subunit;
  std::string place;
  std::optional<WallTime> since;
  std::vector<Witness> witnesses;
};

struct CarriedPart {
  std::string part;
  std::string maker;
  std::string colorant;
  std::int64_t count = 1;
};

// What a person said of an incident.
struct Saying {
  std::optional<WallTime> at;
  std::string operator_state;
  std::string by;  // empty: the daemon itself
  std::string note;
};

struct Incident {
  std::string id;
  std::string kind;
  std::string device;
  std::string queue;
  std::string site;
  std::string location;
  std::string subunit;
  std::string place;
  Severity severity = Severity::warning;  // an incident without one is nonsense
  std::string state;
  std::string operator_state;
  std::string training;
  std::optional<WallTime> raised_at;
  std::optional<WallTime> changed_at;
  std::optional<WallTime> cleared_at;
  std::string summary;
  std::vector<Condition> evidence;
  std::vector<std::string> cautions;
  std::vector<std::string> steps;
  std::vector<CarriedPart> carry;
  std::optional<std::int64_t> times_raised;
  std::optional<bool> planned;
  std::optional<WallTime> shelved_until;
  std::string outcome;
  std::string proof;
  std::vector<Saying> actions;

  bool open() const { return state != "cleared"; }
};

struct DaysLeft {
  std::optional<double> p10;
  std::optional<double> p50;
  std::optional<double> p90;
};

struct Supply {
  std::optional<std::int64_t> index;
  std::string type;
  std::string supply_class;  // "consumed", "filled"
  std::string colorant;
  std::string description;
  std::string part;
  std::optional<double> percent;  // of a receptacle: the room left
  std::optional<bool> low;
  std::string level;  // "known", "some", "unknown", "unlimited"
  std::optional<DaysLeft> days_left;
  std::string days_left_why;  // why there is no forecast
};

// A supply in the fleet's list, with where it is.
struct FleetSupply {
  std::string device;
  std::string site;
  std::string location;
  Supply supply;
};

// An input or an output.
struct Tray {
  std::optional<std::int64_t> index;
  std::string name;
  std::string media;
  std::optional<double> percent;
  std::string level;
  std::optional<bool> empty;
  std::optional<bool> full;
  std::optional<std::int64_t> remaining;  // in units; of an output: the room left
  std::optional<std::int64_t> capacity;
  std::string unit;
  std::string status;
};

// A light of the console.
struct Light {
  std::string name;
  std::string color;
  std::string shows;  // "on", "off", "blinking"
};

struct Cover {
  std::optional<std::int64_t> index;
  std::string name;
  std::optional<bool> open;
};

struct Device {
  std::string name;
  std::string address;
  std::string site;
  std::string location;
  std::string state;
  std::string detail;
  std::string maker;
  std::string model;
  std::string serial;
  std::optional<std::int64_t> impressions;
  std::optional<WallTime> last_reading_at;
  std::vector<Supply> supplies;
  std::vector<Tray> inputs;
  std::vector<Tray> outputs;
  std::vector<Cover> covers;
  std::vector<std::string> console;
  std::vector<Light> lights;
  std::vector<Condition> conditions;
};

// How many devices are in each state. States that are not among kDeviceStates do not count.
struct DeviceCounts {
  std::int64_t total = 0;
  std::int64_t by_state[std::size(kDeviceStates)] = {};
};

// How many incidents were raised over a time, with the words that the daemon has for it.
struct SpanLoad {
  std::optional<std::int64_t> raised;
  std::optional<double> per_hour;
  std::optional<double> per_ten_minutes;
  std::string rate;
  std::optional<std::int64_t> peak;
  std::string peak_verdict;
};

struct NoisyPair {
  std::string device;  // empty: of no single device
  std::string kind;
  std::optional<std::int64_t> raised;
};

// The alarm load of the fleet, or of one site: then without the fields after in_flood.
struct Load {
  std::string site;  // empty: the fleet
  SpanLoad hour, day, week;
  std::optional<bool> in_flood;
  std::optional<std::int64_t> chattering;
  std::optional<std::int64_t> stale;
  std::vector<NoisyPair> noisiest;
  std::optional<double> noisiest_share;  // 0 to 1
};

// One change that the event stream tells.
struct Notice {
  std::string what;  // "raised", "changed", "cleared"
  std::optional<WallTime> at;
  Incident incident;
};

// What came of a hook's test.
struct HookTest {
  std::string hook;
  bool told = false;
  std::string receiver;  // what it said, or why it is not told
};

// Of GET /v1/fleet; of one site, or of all where `site` is empty. Kind invalid if there is
// no such site.
Result<DeviceCounts> device_counts_from(const Json& fleet, const std::string& site);

// Of GET /v1/fleet; of one site, or of all where `site` is empty. A site of which nothing was raised has no numbers.
Result<Load> load_from(const Json& fleet, const std::string& site);

// Of a list object, {"items": [...]}.
Result<std::vector<Device>> devices_from(const Json& list);
Result<std::vector<FleetSupply>> supplies_from(const Json& list);
Result<std::vector<Incident>> incidents_from(const Json& list);

Result<Device> device_from(const Json& device);
Result<Incident> incident_from(const Json& incident);

Result<HookTest> hook_test_from(const Json& test);

// The conditions of a device or queue, or an incident's evidence. What is wrong is noted in the fields' shape.
std::vector<Condition> conditions_in(const Fields& fields, const char* key);

// What to carry. What is wrong is noted as there.
std::vector<CarriedPart> carried_in(const Fields& fields, const char* key);

// Nothing for an event that is not about an incident.
Result<std::optional<Notice>> notice_from(const Json& event);

}  // namespace frisket::client
