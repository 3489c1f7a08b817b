// What the HTTP service shows: the fleet as it was last published, already in JSON.
//
// The service publishes into the board when something changed; requests read from it.
// Answers are put together from cached fragments, so a fleet answer costs a copy and
// not a serialisation. One thread (the io_context's).
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/http/event_log.h"
#include "daemon/http/pieces.h"
#include "daemon/http/queue_board.h"
#include "daemon/http/slice.h"
#include "daemon/http/test_prints.h"
#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident.h"
#include "daemon/json/forms.h"
#include "daemon/upkeep/outlook.h"

namespace frisket::http {

// Empty sets let everything through.
struct DeviceFilter {
  std::set<std::string> names;
  std::set<std::string> sites;
  std::set<incidents::DeviceState> states;
};

struct SupplyFilter {
  DeviceFilter device;
  std::optional<bool> low;
};

struct IncidentFilter {
  std::set<incidents::Incident::State> states;
  std::set<incidents::Incident::Operator> operator_states;
  std::set<model::Severity> severities;
  std::set<std::string> sites;
  std::set<std::string> kinds;
  std::set<std::string> devices;
  std::set<std::string> queues;
};

class FleetBoard {
 public:
  struct Bounds {
    std::size_t cleared = 2000;  // cleared incidents kept, the newest
    EventLog::Bounds events;
  };

  FleetBoard();                                // the event ids of each run differ
  FleetBoard(std::string run, Bounds bounds);  // for tests: known ids, small bounds
  ~FleetBoard();

  // ---- What the service calls.

  // The set of devices and sites; forgets devices that are gone.
  void configure(const config::Config& config);

  // One device's state after a reading. A device that is not configured changes nothing.
  void publish_device(const std::string& name, const incidents::DeviceStatus& status, model::WallTime at);

  // What is to come, for the dates of supplies.
  void publish_outlook(const upkeep::Outlook& outlook);

  // One print queue's status after a reading; the first time it becomes known.
  void publish_queue(const incidents::QueueStatus& status, model::WallTime at);

  // A queue that is no longer configured, or that its spooler no longer lists. One that is not known changes nothing.
  void forget_queue(const std::string& name, model::WallTime at);

  // One incident's change; also goes to every event stream, in order.
  void publish_transition(const incidents::Transition& transition);

  // What became of a test page; only the event streams tell of it.
  void publish_test_print(const TestPrintOutcome& outcome, model::WallTime at);

  // An incident that was known before this run; no event tells of it.
  void restore_incident(const incidents::Incident& incident);

  // After a restart: the alarm load goes on from the incidents that were kept, cleared ones among them.
  void restore_load(const std::vector<const incidents::Incident*>& incidents);

  // Counters for /v1/health.
  struct Health {
    model::WallTime started_at;
    std::uint64_t polls = 0;         // finished
    std::uint64_t polls_missed = 0;  // no usable answer
    std::uint64_t polls_late = 0;    // started later than half an interval after they were due
    // How many polls took so long: up to each bound, in seconds, and at last longer than all of them.
    struct Durations {
      std::vector<double> bounds;
      std::vector<std::uint64_t> counts;  // one more than bounds
      double sum = 0.0;                   // seconds
    } poll_durations;
    std::string configuration;                  // "ok", or why the last reload was refused
    std::map<std::string, std::uint64_t> snmp;  // datagrams sent, received, dropped by reason ...
    std::map<std::string, std::uint64_t> ipp;   // exchanges and connections
    std::map<std::string, std::uint64_t> queue_polls;
    std::map<std::string, std::uint64_t> hooks;                             // runs, failures, waiting
    std::map<std::string, std::map<std::string, std::uint64_t>> each_hook;  // the same of each, by its name

    struct Store {
      std::string trouble;  // why nothing can be kept; empty: all is well
      std::map<std::string, std::uint64_t> counters;
    } store;

    struct Sender {
      std::string address;
      std::uint64_t count = 0;
      model::WallTime last;
    };
    struct Notifications {
      std::string listening;  // "127.0.0.1:1162"; empty: nowhere
      std::string trouble;    // why not, though it should; empty: none
      std::map<std::string, std::uint64_t> counters;
      std::vector<Sender> unknown_senders;  // the latest first
    } notifications;
  };
  // Asked at each request for /v1/health and /metrics.
  void set_health_source(std::function<Health()> source);

  // ---- What the routes call. Texts are JSON.

  Pieces fleet(model::WallTime now) const;
  std::string health(model::WallTime now) const;

  // OpenMetrics text.
  std::string metrics(model::WallTime now) const;

  // In order of name; the key is the name.
  Slice devices(const DeviceFilter& filter, const Window& window) const;
  std::optional<std::string> device(const std::string& name) const;

  // In order of device and row; the key is "name/row".
  Slice supplies(const SupplyFilter& filter, const Window& window) const;

  // In the order in which they were raised; the key is the id.
  Slice incidents(const IncidentFilter& filter, const Window& window) const;
  std::optional<std::string> incident(const std::string& id) const;

  // Null: no such device. Valid until the next configure().
  const config::Device* configured(const std::string& device) const;
  bool has_site(const std::string& site) const;

  // Of those that are kept, in the order in which they were raised: {"id", "kind", "severity", "raised_at",
  // "cleared_at"}.
  json::Json incidents_within(const std::string& device, model::WallTime from, model::WallTime to) const;

  // Versions of what the above gave; 0: no such thing. The fleet's is that of the last fleet().
  std::uint64_t fleet_version() const;
  std::uint64_t device_version(const std::string& name) const;
  std::uint64_t incident_version(const std::string& id) const;

  // The entity tag (RFC 9110) of an answer of this version. Weak: times of readings may differ.
  std::string tag(std::uint64_t version) const;

  const QueueBoard& queues() const;

  EventLog& events();

 private:
  Health health_now(model::WallTime now) const;

  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::http
