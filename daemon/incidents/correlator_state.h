// What a correlator holds. Private to the correlator's own files:
//
//   correlator.cpp            the public face
//   correlator_devices.cpp    a reading's conditions against what is raised
//   correlator_life.cpp       raising, changing, clearing, coming back; proofs
//   correlator_reach.cpp      devices that do not answer, one by one
//   correlator_outages.cpp    all of a place together
//   correlator_operators.cpp  what people say of incidents
//   correlator_queues.cpp     print queues, and what they have to do with their devices
//   correlator_services.cpp   the print services that hold them
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "daemon/incidents/causes.h"
#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident_id.h"
#include "daemon/incidents/planned_work.h"
#include "daemon/incidents/queue_conditions.h"
#include "daemon/incidents/queue_ties.h"

namespace frisket::incidents {

struct Outage;
struct QueueRecord;

// What incidents are about: a device, a queue, or a print service.
struct Subject {
  std::vector<std::string> open;    // ids of its raised incidents, sorted: a restart must not change the order
  std::vector<std::string> recent;  // ids of cleared ones that may come back, the oldest first

  virtual ~Subject() = default;
  virtual void name_in(Incident& incident) const = 0;  // device, queue and site
  virtual std::chrono::seconds poll_interval() const = 0;
  virtual bool in_service() const { return true; }
  virtual bool answers() const = 0;                                          // at the last poll
  virtual const model::DeviceSnapshot* snapshot() const { return nullptr; }  // of the device, where it is one
  virtual std::string outcome_of(const Incident&) const { return {}; }       // how an incident that is over ended
};

// Everything known of one configured device.
struct DeviceRecord final : Subject {
  const config::Device* device = nullptr;  // in the state's configuration
  DeviceStatus status;
  DeviceMemory memory;
  // The same snapshot again would bring the same conditions again: nothing in them waits for time.
  bool settled = false;
  std::optional<WallTime> next_due;    // when a condition that is not yet a problem becomes one
  std::vector<Outage*> outages;        // of the places that it belongs to
  std::string outage;                  // id of the site-silent that its silence is part of; empty
  bool left_behind = false;            // the site-silent is over, and its own next poll not yet due
  std::optional<WallTime> held_since;  // its silence is not told yet: the whole place may be silent
  std::vector<QueueRecord*> queues;    // that print on it

  void name_in(Incident& incident) const override;
  std::chrono::seconds poll_interval() const override { return device->poll_interval; }
  bool in_service() const override { return device->out_of_service.empty(); }
  bool answers() const override { return memory.reach.missed == 0; }
  const model::DeviceSnapshot* snapshot() const override { return status.snapshot.get(); }
  std::string outcome_of(const Incident& incident) const override;
};

// A print service: a [[spooler]], or whatever answers for queues that are behind none.
struct ServiceRecord final : Subject {
  std::string name;
  std::string site;
  std::chrono::seconds interval{30};
  std::string default_location;
  std::string host;     // host_key() of where it is
  bool passes = false;  // all of its queues are read in one pass
  int missed = 0;       // passes, or polls of its queues, in a row
  std::optional<WallTime> missed_since;
  model::QueueReach last = model::QueueReach::answered;
  std::string detail;
  std::vector<QueueRecord*> queues;

  void name_in(Incident& incident) const override;
  std::chrono::seconds poll_interval() const override { return interval; }
  bool answers() const override { return missed == 0; }
};

struct QueueRecord final : Subject {
  config::Queue queue;
  bool found = false;  // by its spooler's list; no [[queue]] names it
  QueueStatus status;
  QueueMemory memory;
  ServiceRecord* service = nullptr;
  DeviceRecord* device = nullptr;  // that it prints on; null: not known
  std::optional<Condition> waits;  // what its device's incident has as evidence

  void name_in(Incident& incident) const override;
  std::chrono::seconds poll_interval() const override;
  bool answers() const override { return status.reach == model::QueueReach::answered; }
};

// A site, or a subnet within the fleet, whose devices may fall silent together.
struct Outage {
  std::string site;
  std::string subnet;  // "192.0.2.0/24"; empty: the site as a whole
  std::vector<DeviceRecord*> members;
  std::string incident;  // id while it is raised; empty
};

struct Correlator::State {
  config::Config config;
  PlannedWork planned;
  std::map<std::string, DeviceRecord> devices;
  std::unordered_map<std::string_view, DeviceRecord*> by_name;  // the same, for every reading's look-up
  std::deque<Outage> outages;
  std::map<std::string, QueueRecord> queues;      // by name
  std::map<std::string, ServiceRecord> services;  // by the name of the spooler, else by endpoint
  QueueTies ties;
  std::map<std::string, Incident> incidents;  // by id
  std::deque<std::string> cleared;            // ids, the longest cleared first
  std::set<std::string> timed;                // ids of those for which something is due at some time
  IncidentIds ids;
  WallTime now;
  std::vector<Transition> transitions;
  std::vector<Replacement> replaced;  // by the last reading
  std::set<std::string> touched;      // devices whose memory has changed

  // ---- correlator.cpp
  DeviceRecord* find(std::string_view name) const;
  Incident* find_incident(const std::string& id);
  void configure(config::Config next);
  std::vector<Transition> told() { return std::exchange(transitions, {}); }

  // ---- correlator_devices.cpp
  void answered(DeviceRecord& record, const model::DeviceReading& reading);
  void reconcile(DeviceRecord& record);
  void note_replacements(DeviceRecord& record, const model::DeviceSnapshot& next);

  // ---- correlator_life.cpp
  // Opens one for the problem: the one that was cleared a short while ago or waits for its proof, else a new one.
  void raise(Subject& record, const Problem& problem);
  void update(const Subject& record, Incident& incident, const Problem& problem);
  // Nothing says it any more. One that chatters stays raised until it has been quiet for long enough.
  void end(Subject& record, const std::string& id);
  void clear_at(Subject& record, const std::string& id, std::string outcome);
  // What is open goes on as what there is now; the rest is raised or ends.
  void settle_problems(Subject& record, const std::vector<const Incident*>& open, const std::vector<Problem>& problems,
                       const std::vector<std::optional<std::size_t>>& matches);
  Subject* subject_of(const Incident& incident);
  void clear(Incident& incident, std::string outcome);
  void watch_proofs(DeviceRecord& record);
  void let_time_pass(Incident& incident);
  void tell(What what, Incident& incident);
  bool is_planned(const Incident& incident);
  void note_planned(Incident& incident);

  // ---- correlator_reach.cpp
  void missed(DeviceRecord& record, const model::DeviceReading& reading);
  void reconcile_reach(DeviceRecord& record);

  // ---- correlator_outages.cpp
  void find_outages();  // after the set of devices has changed
  void consider(Outage& outage);
  // After a restart; `kept` is what the store knew of devices.
  void recall_outages(const std::map<std::string, DeviceMemory>& kept);

  // ---- correlator_queues.cpp
  void configure_queues();
  void take_queue(QueueRecord& record, model::QueueReach reach, const std::string& detail,
                  std::shared_ptr<const model::QueueSnapshot> snapshot);
  void reconcile(QueueRecord& record);
  void reconcile_queues_of(DeviceRecord& record);
  void forget(QueueRecord& record, const std::string& outcome);
  // The problem of the device that its queues wait for gets these as evidence.
  void add_waiting_queues(const DeviceRecord& record, std::vector<Problem>& problems) const;
  std::vector<Condition> waiting_queues(const DeviceRecord& record) const;
  bool restore_queue(const Incident& incident);  // false: nobody knows such a queue or service any more

  // ---- correlator_services.cpp
  ServiceRecord& service_of(const config::Queue& queue);
  void take_service(ServiceRecord& service, model::QueueReach reach, const std::string& detail);
  void reconcile(ServiceRecord& service);
  void take_pass(ServiceRecord& service, const config::Spooler& spooler, const model::SpoolerReading& reading);

  // ---- correlator_operators.cpp
  void set_operator(Incident& incident, OperatorAction action);
  bool acknowledged(const DeviceRecord& record);

 private:
  Incident* returning(const Subject& record, const Problem& problem);
  void raise_again(Subject& record, Incident& incident, const Problem& problem);
  void reopen(Incident& incident, Severity before);
  void fill(const Subject& record, const Problem& problem, Incident& incident) const;
  bool is_suspected(const Outage& outage) const;
  bool waits_for_site(const Outage& outage);
  Outage* outage_of(std::string_view site, std::string_view subnet);  // null: none
  bool is_held(DeviceRecord& record);
  void raise_outage(Outage& outage);
  Incident* returning(const Outage& outage);
  void update_outage(Outage& outage);
  void end_outage(Outage& outage);
  void tie(QueueRecord& record);
  void untie(QueueRecord& record);
  std::vector<Condition> agreement_conditions(const QueueRecord& record) const;
  QueueRecord& found_queue(ServiceRecord& service, const config::Spooler& spooler, const std::string& name);
};

// Whether the incident is one of the kinds of which a printed page is asked as the proof of the fix.
bool asks_for_proof(const Incident& incident);

// How long an incident that chatters must be quiet before it is over, and within which it counts as
// chattering if it comes three times. ANSI/ISA-18.2 has three in a minute (from memory); what is polled
// more slowly than that is seen more slowly.
std::chrono::seconds chatter_window(std::chrono::seconds poll_interval);

// How long a device's silence may wait for its neighbours' next polls before it is told.
std::chrono::seconds longest_hold(const config::Device& device);

bool is_about_reach(const Incident& incident);

// Whether something of that device is known to be wrong that stops its jobs.
bool holds_jobs_up(const DeviceRecord& record, const std::map<std::string, Incident>& incidents);

void add_open(Subject& record, const std::string& id);

}  // namespace frisket::incidents
