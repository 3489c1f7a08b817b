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
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident.h"

namespace frisket::http {

class FleetBoard {
 public:
  FleetBoard();
  ~FleetBoard();

  // The set of devices and sites; forgets devices that are gone.
  void configure(const config::Config& config);

  // One device's state after a reading.
  void publish_device(const std::string& name, const incidents::DeviceStatus& status, model::WallTime at);

  // One incident's change; also goes to every event stream, in order.
  void publish_transition(const incidents::Transition& transition);

  // Counters for /v1/health.
  struct Health {
    model::WallTime started_at;
    std::uint64_t polls = 0;                     // finished
    std::uint64_t polls_missed = 0;              // no usable answer
    std::uint64_t polls_late = 0;                // started later than half an interval after they were due
    std::string configuration;                   // "ok", or why the last reload was refused
    std::map<std::string, std::uint64_t> snmp;   // datagrams sent, received, dropped by reason ...
    std::map<std::string, std::uint64_t> hooks;  // runs, failures, waiting
  };
  // Asked at each /v1/health request.
  void set_health_source(std::function<Health()> source);

  struct State;
  State& state() { return *state_; }

 private:
  std::unique_ptr<State> state_;
};

}  // namespace frisket::http
