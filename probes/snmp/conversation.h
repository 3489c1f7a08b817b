// One poll's talk with one device: asks, counts, and knows when to stop.
//
// Bounded whatever the agent does: in round trips, in time, and by two silences in a row,
// after which the device counts as gone. Used by one coroutine.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <optional>
#include <string>
#include <vector>

#include "probes/clock/clock.h"
#include "probes/snmp/exchange.h"
#include "probes/snmp/round_trip.h"
#include "probes/snmp/table_walk.h"

namespace frisket::snmp {

class Conversation {
 public:
  static constexpr int kMostRoundTrips = 160;

  // The network, the clock, and `round_trip`, which is told how long answers took if there is one, must outlive it.
  // `patience` is that of one exchange; the whole may last twelve times as long as a silent exchange does.
  // `usm`: as for exchange().
  Conversation(Network& network, Clock& clock, Endpoint peer, config::Credential credential, Patience patience,
               UsmPeer* usm = nullptr, RoundTrip* round_trip = nullptr);

  // One exchange. Also fails (silent) when the bounds are reached.
  boost::asio::awaitable<model::Result<Response>> ask(Request request);

  // GET or GETNEXT of many names, answered one for one in the same order: what the agent has
  // not, or cannot read, is there without a value. Splits what is too big, and leaves out
  // what the agent complains of. Fails when the device does.
  boost::asio::awaitable<model::Result<std::vector<VarBind>>> ask_each(Operation operation, std::vector<Oid> names);

  // Always gives what could be read.
  boost::asio::awaitable<TableRows> read(const mib::Table& table, std::uint32_t device_index, TableMemory& memory);

  // The device stopped answering: what comes now would only be more silence.
  bool lost() const { return silences_ >= 2; }

 private:
  Network& network_;
  Clock& clock_;
  Endpoint peer_;
  config::Credential credential_;
  Patience patience_;
  UsmPeer* usm_;
  RoundTrip* round_trip_;
  model::SteadyTime end_;
  int round_trips_ = 0;
  int silences_ = 0;  // in a row
};

}  // namespace frisket::snmp
