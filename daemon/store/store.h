// What outlives the daemon: incidents, what the rules remember, the outbox.
//
// A narrow interface, so that another database can stand behind it; one test suite runs
// against every implementation. write() is one transaction: all of the batch or nothing
// of it. Not for several threads at once.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/notice.h"
#include "daemon/incidents/replacement.h"
#include "daemon/upkeep/books.h"
#include "daemon/upkeep/change.h"
#include "daemon/upkeep/fleet_reliability.h"
#include "probes/model/audit.h"
#include "probes/model/reading.h"
#include "probes/model/result.h"

namespace frisket::store {

using model::AuditRecord;

// What one reading changed in a device's history.
struct DeviceChanges {
  std::string device;
  upkeep::Changes changes;  // in order of time
};

// What belongs together and is written together.
struct Batch {
  std::vector<incidents::Transition> transitions;          // in order
  std::map<std::string, incidents::DeviceMemory> devices;  // by name; in place of what was kept
  std::vector<incidents::Notice> notices;                  // new ones, and those that changed (by id)
  std::vector<incidents::Replacement> replacements;
  std::vector<model::DeviceReading> readings;    // those that changed something, for replay
  std::vector<AuditRecord> audit;                // in order; their numbers are the store's to give
  std::vector<DeviceChanges> history;            // in order
  std::vector<upkeep::StockLevel> stock;         // in order; in place of what was kept of the part
  std::vector<upkeep::ServiceDone> done;         // in order
  std::vector<upkeep::Complaint> complaints;     // in order; by id in place of what was kept
  std::optional<model::WallTime> watched_until;  // the daemon watched the fleet until then; never goes back
  std::uint64_t last_id = 0;                     // CorrelatorMemory::last_id

  bool empty() const {
    return transitions.empty() && devices.empty() && notices.empty() && replacements.empty() && readings.empty() &&
           audit.empty() && history.empty() && stock.empty() && done.empty() && complaints.empty() && !watched_until;
  }
};

// What somebody would miss: transitions, notices, audit records, what people told of upkeep.
std::size_t records_in(const Batch& batch);

// Adds a later batch, so that writing the one is writing both in order. Of a device's memory the later stays.
void append(Batch& batch, const Batch& later);

// How long what is over is kept, counted from when an incident was cleared, a notice was last due or changed,
// a reading was taken, a change asked for; a week of history goes when all of it is older. Kept however old: raised
// incidents with their transitions and notices, notices that wait, replacements, device memories, what people told
// of upkeep.
struct Retention {
  std::chrono::days incidents{400};
  std::chrono::days notices{30};
  std::chrono::days readings{2};
  std::chrono::days audit{400};
  std::chrono::days history{800};
  friend bool operator==(const Retention&, const Retention&) = default;
};

// Histories for a thread of its own, beside the one that writes. One thread.
class HistorySource {
 public:
  virtual ~HistorySource() = default;
  // As Store::history(). Errors as there.
  virtual model::Result<upkeep::Changes> history(const std::string& device, model::WallTime since) = 0;
  // Of devices, those that were not over by then, in order of id.
  virtual model::Result<std::vector<upkeep::PastIncident>> incidents_since(model::WallTime since) = 0;
};

inline constexpr std::size_t kComplaintsKept = 10'000;

// Errors: local where the machine could not do it (no room, read-only, I/O): nothing of the batch is
// written, and the same may succeed later. invalid where a retry cannot help.
class Store {
 public:
  virtual ~Store() = default;

  virtual model::Result<model::Done> write(const Batch& batch) = 0;

  // What a daemon that starts goes on with: the raised and the newest kClearedKept of the cleared incidents.
  virtual model::Result<incidents::CorrelatorMemory> memory() = 0;
  // Waiting and parked ones, and the delivered ones of incidents that are raised; in order of number.
  virtual model::Result<std::vector<incidents::Notice>> outbox() = 0;
  // The highest ever written, also after it was forgotten.
  virtual model::Result<std::uint64_t> last_notice_number() = 0;

  // In order of time.
  virtual model::Result<std::vector<incidents::Replacement>> replacements(const std::string& device) = 0;

  // Every first and later raising since then (What::raised), in the order written: for the alarm load. The
  // incidents are as they were then, without evidence, remedy, actions and changes (as_kept()).
  virtual model::Result<std::vector<incidents::Transition>> transitions_since(model::WallTime since) = 0;
  // In order of time.
  virtual model::Result<std::vector<model::DeviceReading>> readings_since(model::WallTime since) = 0;

  // The newest first, with their numbers.
  virtual model::Result<std::vector<AuditRecord>> audit(const model::AuditWindow& window) = 0;

  // The devices that have a history, in order of name.
  virtual model::Result<std::vector<std::string>> history_devices() = 0;
  // In order of time: whole weeks (upkeep/weeks.h), from the one on that `since` lies in. Weeks that were thinned are
  // so.
  virtual model::Result<upkeep::Changes> history(const std::string& device, model::WallTime since) = 0;
  // The same for another thread: what is kept when it is asked, or what was kept now.
  virtual model::Result<std::unique_ptr<HistorySource>> history_source() = 0;

  // Of the complaints the newest kComplaintsKept.
  virtual model::Result<upkeep::Books> books() = 0;

  // The latest Batch::watched_until there ever was.
  virtual model::Result<std::optional<model::WallTime>> watched_until() = 0;

  // Also thins the history that has come of age, a part of it at each call.
  virtual model::Result<model::Done> forget(const Retention& retention, model::WallTime now) = 0;

  // A whole, consistent copy while the daemon goes on. Refuses to overwrite.
  virtual model::Result<model::Done> back_up(const std::filesystem::path& to) = 0;

  // Sentences for the log about rows that had to be left out of answers since it was last asked, since they
  // make no sense. Bounded. The rows stay.
  virtual std::vector<std::string> take_findings() = 0;
};

}  // namespace frisket::store
