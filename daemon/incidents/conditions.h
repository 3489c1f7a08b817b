// One reading's conditions: every witness heard, every saying counted once.
//
// The witnesses are the alert table, the covers' own status, the levels against their
// thresholds, hrPrinterDetectedErrorState and the subunits' status. Detail beats generality: a bit
// that says "jammed" witnesses the jam that a row has placed. What is remembered from one
// reading to the next is the DeviceMemory, a value. Pure; any thread.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/incidents/findings.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/replacement.h"
#include "probes/model/device.h"
#include "probes/model/reading.h"

namespace frisket::incidents {

// A warning(4) row is unary: no end event is promised, and its vanishing is no proof of a cure
// (RFC 3805 section 2.2.13.4). Where nothing else speaks of its subunit, the condition stays this long
// after the row was last seen. Common practice, no source.
inline constexpr std::chrono::minutes kUnaryStays{10};

// When and at which page a trouble was last over.
struct Ended {
  WallTime at;
  std::optional<std::uint64_t> impressions;
  friend bool operator==(const Ended&, const Ended&) = default;
};

// How the device met the polls before.
struct ReachMemory {
  int missed = 0;                        // polls in a row without a usable answer
  std::optional<WallTime> missed_since;  // the first of them
  model::Reach last = model::Reach::answered;
  std::string detail;                   // of the last one; empty if it answered
  std::vector<WallTime> interruptions;  // when it stopped answering; oldest first, bounded
  // Errors of its interfaces at the start of the time over which they are counted.
  std::optional<std::uint64_t> interface_errors;
  std::optional<WallTime> interface_errors_since;
  std::optional<WallTime> interface_errors_grew;  // by more than a sound cable lets through
  friend bool operator==(const ReachMemory&, const ReachMemory&) = default;
};

struct DeviceMemory {
  std::map<std::int32_t, Stage> stages;        // of supplies, by index; only those not fine
  std::vector<Condition> conditions;           // of the last reading
  std::map<std::string, WallTime> unary_rows;  // condition_key() of conditions from unary rows: last seen

  // When each jam began, by home ("jam@input:2"); oldest first, bounded in number and in age.
  std::map<std::string, std::vector<WallTime>> jams;
  std::map<std::string, Ended> ended;      // by home: jams, covers and trays that were open
  std::map<std::int32_t, double> percent;  // of supplies, by index: the last that was known
  std::optional<WallTime> at_work;         // when somebody was last seen at work on it
  std::vector<Replacement> replaced;       // of supplies, a short while ago

  ReachMemory reach;
  friend bool operator==(const DeviceMemory&, const DeviceMemory&) = default;
};

// "media-jam@input:2": what makes two conditions of a device the same one.
std::string condition_key(std::string_view keyword, const Subunit& subunit);

struct Derived {
  std::vector<Condition> conditions;  // in order of subunit and keyword
  DeviceMemory memory;                // for the next reading
};

Derived derive(const model::DeviceSnapshot& snapshot, const config::Rules& rules, const DeviceMemory& before,
               WallTime at);

// Whether the device still feeds the same media from a tray other than this one. A manual tray
// does not count, and neither does one that is empty.
bool fed_by_another(const model::Input& empty, const model::DeviceSnapshot& snapshot);

}  // namespace frisket::incidents
