// Runs a program for an incident's change.
//
// The program gets the notice as one JSON object on standard input and a fixed, small
// environment; arguments are a list and never pass through a shell. Runs in its own
// process group, so that the whole group can be ended when the time limit is over.
// What it prints is logged, bounded and escaped. On the io_context's thread; nothing
// here blocks it.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/incidents/incident.h"

namespace frisket::hooks {

// Whether a hook wants to hear of this change: its kinds, severity and sites.
// Pure.
bool wants(const config::Hook& hook, const incidents::Transition& transition);

class Hooks {
 public:
  explicit Hooks(boost::asio::any_io_executor executor);
  ~Hooks();

  // Takes the list of hooks. Runs under way go on; what waits for a hook that is gone is
  // dropped and logged.
  void configure(std::vector<config::Hook> hooks);

  // Hands the change to every hook that wants it, or that was told of the incident before and
  // has not been told yet that it is cleared. Returns at once; the programs start in the next
  // turns of the io_context. For one hook, the notices of one incident are run one after the
  // other, in order.
  void tell(const incidents::Transition& transition);

  struct Counters {
    std::uint64_t started = 0;
    std::uint64_t succeeded = 0;
    std::uint64_t failed = 0;     // exit status not 0, ended by a signal, or could not start
    std::uint64_t timed_out = 0;  // ended by us
    std::uint64_t dropped = 0;    // the line was full
    std::uint64_t waiting = 0;    // now
    std::uint64_t running = 0;    // now
  };
  Counters counters() const;

  // Takes no more; ends what runs, and returns when it is gone, which may take 1.5 s if a program
  // resists. Call before the io_context is destroyed.
  void stop();

 private:
  struct State;
  std::shared_ptr<State> state_;  // shared with the runs under way
};

}  // namespace frisket::hooks
