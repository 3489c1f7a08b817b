// All SNMP traffic of the daemon goes through one of these.
//
// net-snmp is the codec; Asio does the waiting (docs/decisions). One UDP socket for IPv4
// and one for IPv6 serve every device; requests outstanding are found again by request
// id and must come from the address that was asked. Retransmission and deadlines are
// ours. On the io_context's thread: net-snmp is not built re-entrant.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <cstdint>
#include <map>
#include <memory>
#include <string>

#include "config/config.h"
#include "probes/clock/clock.h"
#include "probes/snmp/gate.h"

namespace frisket::snmp {

class Network {
 public:
  // Opens the sockets lazily, at the first request of each family.
  Network(boost::asio::any_io_executor executor, Clock& clock, config::Polling polling);
  ~Network();

  // For requests that start from now on.
  void configure(config::Polling polling);
  const config::Polling& polling() const;

  // Since start: "sent", "retransmitted", "received", "dropped_malformed",
  // "dropped_unknown_id", "dropped_wrong_source", "timed_out", ... One name for each reason.
  std::map<std::string, std::uint64_t> counters() const;

  // The local port of the IPv4 socket once it is open, else 0 (tests throw garbage at it).
  std::uint16_t local_port() const;

  // A place among those that read a device in full, to be held meanwhile.
  Gate& full_readings();

  // Ends every request under way as silent. Call before the io_context is destroyed.
  void stop();

  struct State;
  State& state() { return *state_; }

 private:
  std::shared_ptr<State> state_;  // shared with the receive loop, which ends after stop()
};

}  // namespace frisket::snmp
