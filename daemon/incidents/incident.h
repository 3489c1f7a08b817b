// Conditions and incidents as values.
//
// A condition is one thing that is so about one subunit, named by its IPP keyword
// (RFC 8011 section 5.4.12, PWG 5100.9). An incident is one problem that a person must deal
// with: the conditions with one cause. Life cycle words are RFC 8632's: the instrumentation
// raises and clears, the operator acknowledges, shelves and closes. Pure; any thread.
#pragma once

#include <cstdint>
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
    console,         // prtConsoleDisplayBufferText
    interface,       // the error counters of the device's own network interface
    history,         // what happened before: how often, and how long ago
    queue,           // a print queue's own attributes and jobs
  };

  Source source = Source::alert_table;
  std::string says;          // "prtAlertTable row 3: critical, jam, 'Paper jam in tray 2'"
  bool contradicts = false;  // heard, and overruled by the others
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

// Whether that witness is among those who say so.
bool says(const Condition& condition, Witness::Source source);

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

// What happens to an incident.
enum class What {
  raised,           // for the first time, or again (times_raised)
  changed,          // kind, severity, place, evidence: what a person would call a change
  cleared,          // by the instrumentation
  operator_action,  // acknowledged, shelved, un-shelved, closed
  proved,           // cleared before, and now a printed page has shown it, or nothing was printed for too long
};

std::string_view to_text(What what);  // "raised", ..., "operator-action", "proved"

// RFC 8632 status-change: one line of what the instrumentation said.
struct StatusChange {
  WallTime at;
  What what = What::raised;
  Severity severity = Severity::warning;
  std::string kind;
  std::string text;  // the summary then
  friend bool operator==(const StatusChange&, const StatusChange&) = default;
};

enum class OperatorState { none, ack, shelved, closed };

std::string_view to_text(OperatorState state);

// RFC 8632 operator-state-change: one line of what a person said, or what the server did for him (`by` empty).
struct OperatorAction {
  WallTime at;
  OperatorState state = OperatorState::none;
  std::string by;
  std::string note;
  std::optional<WallTime> until{};  // of shelved
  friend bool operator==(const OperatorAction&, const OperatorAction&) = default;
};

inline constexpr std::size_t kLongestSaying = 500;  // bytes of `by` and of `note`
inline constexpr std::size_t kActionsKept = 32;
inline constexpr std::size_t kChangesKept = 32;

// Whether a printed page has shown that the fix holds. Asked of kinds that can stop a printer, once the
// device itself says that the trouble is over.
enum class Proof {
  none,     // not asked for, or the device counts no pages
  awaited,  // cleared, and no page printed since
  held,     // pages were printed, and the trouble did not come back
  unseen,   // nothing was printed for so long that nobody waits any more
};

struct Incident {
  enum class State { raised, cleared };
  using Operator = OperatorState;

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

  std::optional<WallTime> shelved_until{};  // while operator_state is shelved
  std::vector<OperatorAction> actions{};    // oldest first; the newest kActionsKept
  std::vector<StatusChange> changes{};      // oldest first; the newest kChangesKept
  int times_raised = 1;                     // more than once: it came back before the fix was proved
  std::optional<WallTime> quiet_since{};    // held open though nothing says it any more: it was chattering
  bool chattering = false;                  // comes and goes too fast to be told each time
  bool planned = false;                     // raised in a maintenance window: nobody is told before it ends
  std::string outcome{};                    // how it ended: "replaced at 120345 impressions"; may be empty
  Proof proof = Proof::none;
  std::optional<WallTime> proved_at{};                  // when the proof was seen
  std::optional<std::uint64_t> impressions_at_clear{};  // while a proof is awaited
  friend bool operator==(const Incident&, const Incident&) = default;
};

// Whether the incident is, was, or has among its evidence, a `kind`. What a filter by kind should
// ask: one who is told of toner-low is also told that the toner ran out and that it was replaced.
bool concerns(const Incident& incident, std::string_view kind);

std::string_view to_text(Incident::State state);
std::string_view to_text(Proof proof);  // "none", "awaited", "held", "unseen"

// One change of one incident, with the incident as it is afterwards.
struct Transition {
  using What = incidents::What;

  What what = What::raised;
  WallTime at;
  Incident incident;
};

}  // namespace frisket::incidents
