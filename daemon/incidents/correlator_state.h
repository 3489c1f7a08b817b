// What a correlator holds. Private to the correlator's own files:
//
//   correlator.cpp            the public face
//   correlator_devices.cpp    a reading's conditions against what is raised
//   correlator_life.cpp       raising, changing, clearing, coming back; proofs
//   correlator_reach.cpp      devices that do not answer, one by one
//   correlator_outages.cpp    all of a place together
//   correlator_operators.cpp  what people say of incidents
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

namespace frisket::incidents {

struct Outage;

// Everything known of one configured device.
struct DeviceRecord {
  config::Device device;
  DeviceStatus status;
  DeviceMemory memory;
  std::vector<std::string> open;    // ids of its raised incidents, sorted: a restart must not change the order
  std::vector<std::string> recent;  // ids of cleared ones that may come back, the oldest first
  // The same snapshot again would bring the same conditions again: nothing in them waits for time.
  bool settled = false;
  std::optional<WallTime> next_due;    // when a condition that is not yet a problem becomes one
  std::vector<Outage*> outages;        // of the places that it belongs to
  std::string outage;                  // id of the site-silent that its silence is part of; empty
  bool left_behind = false;            // the site-silent is over, and its own next poll not yet due
  std::optional<WallTime> held_since;  // its silence is not told yet: the whole place may be silent
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
  void raise(DeviceRecord& record, const Problem& problem);
  void update(const DeviceRecord& record, Incident& incident, const Problem& problem);
  // Nothing says it any more. One that chatters stays raised until it has been quiet for long enough.
  void end(DeviceRecord& record, const std::string& id);
  void clear_at(DeviceRecord& record, const std::string& id, std::string outcome);
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

  // ---- correlator_operators.cpp
  void set_operator(Incident& incident, OperatorAction action);
  bool acknowledged(const DeviceRecord& record);

 private:
  Incident* returning(const DeviceRecord& record, const Problem& problem);
  void raise_again(DeviceRecord& record, Incident& incident, const Problem& problem);
  void reopen(Incident& incident, Severity before);
  void fill(const DeviceRecord& record, const Problem& problem, Incident& incident) const;
  bool is_suspected(const Outage& outage) const;
  bool waits_for_site(const Outage& outage);
  Outage* outage_of(std::string_view site, std::string_view subnet);  // null: none
  bool is_held(DeviceRecord& record);
  void raise_outage(Outage& outage);
  Incident* returning(const Outage& outage);
  void update_outage(Outage& outage);
  void end_outage(Outage& outage);
  std::string replacement_outcome(const DeviceRecord& record, const Incident& incident) const;
};

// Whether the incident is one of the kinds of which a printed page is asked as the proof of the fix.
bool asks_for_proof(const Incident& incident);

// How long an incident that chatters must be quiet before it is over, and within which it counts as
// chattering if it comes three times. ANSI/ISA-18.2 has three in a minute (from memory); what is polled
// more slowly than that is seen more slowly.
std::chrono::seconds chatter_window(const config::Device& device);

// How long a device's silence may wait for its neighbours' next polls before it is told.
std::chrono::seconds longest_hold(const config::Device& device);

bool is_about_reach(const Incident& incident);

void add_open(DeviceRecord& record, const std::string& id);

}  // namespace frisket::incidents
