// Readings in, incidents out.
//
// The correlator holds what is open and what each device said last. It is pure in the
// sense that matters: it opens no socket and no file, knows no time but what it is
// told, and the same readings in the same order give the same incidents with the same
// ids. One owner (the service), one thread.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/incidents/conditions.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/queue_status.h"
#include "daemon/incidents/replacement.h"
#include "probes/model/queue.h"
#include "probes/model/reading.h"
#include "probes/model/result.h"

namespace frisket::incidents {

// The state of a device in one word, as the public JSON has it.
enum class DeviceState { ready, busy, attention, stopped, silent, unknown };
std::string_view to_text(DeviceState state);

// What is known of one device now.
struct DeviceStatus {
  DeviceState state = DeviceState::unknown;
  model::Reach reach = model::Reach::silent;
  std::string detail;                                     // why it did not answer; empty if it did
  std::optional<WallTime> last_reading_at;                // last time it answered
  std::shared_ptr<const model::DeviceSnapshot> snapshot;  // of that reading; null before the first
  std::vector<Condition> conditions;
  // When a reading first had another firmware or serial number than the one before (identity.h);
  // nothing while that has not been seen.
  std::optional<WallTime> firmware_changed_at;
  std::optional<WallTime> serial_changed_at;
};

// How many cleared incidents are kept; the oldest to be cleared is forgotten first.
inline constexpr std::size_t kClearedKept = 1000;

// All that a correlator would miss after a restart. The store keeps it.
struct CorrelatorMemory {
  std::uint64_t last_id = 0;                    // the number in the last id given (incident_id.h)
  std::vector<Incident> incidents;              // raised and cleared, in order of id
  std::map<std::string, DeviceMemory> devices;  // may lack devices: then their raised incidents tell
  friend bool operator==(const CorrelatorMemory&, const CorrelatorMemory&) = default;
};

class Correlator {
 public:
  explicit Correlator(config::Config config);
  ~Correlator();
  Correlator(Correlator&&) noexcept;
  Correlator& operator=(Correlator&&) noexcept;

  // Takes one reading. A reading of a device that is not configured changes nothing.
  // Time never runs backwards in here: a reading older than the last one counts as of
  // the last one's time.
  std::vector<Transition> apply(const model::DeviceReading& reading);

  // The same of one queue, and of all queues of a spooler.
  std::vector<Transition> apply(const model::QueueReading& reading);
  std::vector<Transition> apply(const model::SpoolerReading& reading);

  // Lets time pass: whatever is due without a reading happens.
  std::vector<Transition> tick(WallTime now);

  // Takes a new configuration. Incidents of devices that are no longer there are cleared.
  std::vector<Transition> reconfigure(config::Config config, WallTime now);

  // Takes what a person says of an incident: ack, shelved until, closed, or none to take it back. `at` is when. An
  // Error of kind invalid says why it cannot be: no such incident, a time that is over, an incident that
  // is cleared and can only be closed.
  model::Result<std::vector<Transition>> act(const std::string& id, OperatorAction action);

  // What was replaced since the last call.
  std::vector<Replacement> take_replacements();

  // Devices of which the rules remember something else than at the last call, by name.
  std::set<std::string> take_touched();

  // The number in the last id given (incident_id.h).
  std::uint64_t last_id() const;

  // What the rules remember of one device; null for one that is not configured.
  const DeviceMemory* memory_of(const std::string& device) const;

  // For the store. restore() belongs before the first reading: raised incidents go on under their
  // ids, those of devices that are no longer configured are cleared.
  CorrelatorMemory memory() const;
  std::vector<Transition> restore(CorrelatorMemory memory, WallTime now);

  // Null for a device that is not configured. Valid until the next call that changes anything.
  const DeviceStatus* device(const std::string& name) const;

  // Every queue that is configured or that a spooler's list has shown, in order of name. Valid as above.
  const QueueStatus* queue(const std::string& name) const;
  std::vector<const QueueStatus*> queues() const;

  // Every incident that is raised, and the most recent that were cleared (bounded), in order of id.
  std::vector<const Incident*> incidents() const;
  const Incident* incident(const std::string& id) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::incidents
