// Conditions and incidents as values.
//
// A condition is one thing that is so about one subunit, named by its IPP keyword
// (RFC 8011 section 5.4.12, PWG 5100.9). An incident is one problem that a person must deal
// with: the conditions with one cause. Life cycle words are RFC 8632's: the instrumentation
// raises and clears, the operator acknowledges, shelves and closes. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/severity.h"
#include "probes/model/subunit.h"
#include "probes/model/time.h"

namespace frisket::incidents {

using model::Severity;
using model::Subunit;
using model::Training;
using model::WallTime;

// Who said it. Several witnesses may say the same thing.
struct Witness {
  enum class Source {
    alert_table,     // a row of prtAlertTable
    error_bits,      // hrPrinterDetectedErrorState
    subunit_status,  // PrtSubUnitStatusTC or PrtCoverStatusTC of the subunit's own row
    level,           // a level against a threshold
    reachability,    // how the device met the poll
    host_status,     // hrDeviceStatus and hrPrinterStatus
  };

  Source source = Source::alert_table;
  std::string says;  // "prtAlertTable row 3: critical, jam, 'Paper jam in tray 2'"
  friend bool operator==(const Witness&, const Witness&) = default;
};

std::string_view to_text(Witness::Source source);  // "alert-table", ...

struct Condition {
  std::string keyword;  // "media-jam", without a severity suffix
  Severity severity = Severity::warning;
  Training training = Training::untrained;
  Subunit subunit;
  std::string place;  // for people: "Tray 2", "Front cover"; empty: the device as a whole
  WallTime since;     // when this condition was first seen, unbroken
  std::vector<Witness> witnesses;
  std::string device_text{};  // the device's own words for it (prtAlertDescription); may be empty
  friend bool operator==(const Condition&, const Condition&) = default;
};

struct CarriedPart {
  std::string part;      // the maker's part number where known, else what it is
  std::string maker;     // may be empty
  std::string colorant;  // may be empty
  int count = 1;
  friend bool operator==(const CarriedPart&, const CarriedPart&) = default;
};

struct Remedy {
  std::vector<std::string> cautions;  // shown before the steps
  std::vector<std::string> steps;
  std::vector<CarriedPart> carry;
  friend bool operator==(const Remedy&, const Remedy&) = default;
};

struct Incident {
  enum class State { raised, cleared };
  enum class Operator { none, ack, shelved, closed };

  std::string id;    // never used twice
  std::string kind;  // "media-jam", "device-silent", ...: the keyword of the leading condition
  std::optional<std::string> device;
  std::optional<std::string> queue;
  std::string site;
  std::optional<Subunit> subunit;
  std::string place;
  Severity severity = Severity::warning;
  State state = State::raised;
  Operator operator_state = Operator::none;
  Training training = Training::untrained;
  WallTime raised_at;
  WallTime changed_at;
  std::optional<WallTime> cleared_at;
  std::string summary;  // one sentence
  std::vector<Condition> evidence;
  Remedy remedy;
  std::vector<std::string> earlier_kinds{};  // kinds it had before, oldest first: toner-low of a toner-empty
  friend bool operator==(const Incident&, const Incident&) = default;
};

// Whether the incident is, was, or has among its evidence, a `kind`. What a filter by kind should
// ask: one who is told of toner-low is also told that the toner ran out and that it was replaced.
bool concerns(const Incident& incident, std::string_view kind);

std::string_view to_text(Incident::State state);
std::string_view to_text(Incident::Operator state);

// One change of one incident, with the incident as it is afterwards.
struct Transition {
  enum class What { raised, changed, cleared };

  What what = What::raised;
  WallTime at;
  Incident incident;
};

std::string_view to_text(Transition::What what);

}  // namespace frisket::incidents
