// The inside of Network: sockets, the request table, the loops. Only network.cpp and
// exchange.cpp include this.
#pragma once

#include <array>
#include <boost/asio/ip/udp.hpp>
#include <boost/asio/steady_timer.hpp>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "probes/model/result.h"
#include "probes/snmp/admission.h"
#include "probes/snmp/codec.h"
#include "probes/snmp/gate.h"
#include "probes/snmp/network.h"
#include "probes/snmp/request_table.h"
#include "probes/snmp/standing_messages.h"
#include "probes/snmp/usm_codec.h"

namespace frisket::snmp {

enum class Count : std::size_t {
  sent,
  retransmitted,
  send_failed,
  received,
  answered,
  recognised,
  dropped_malformed,
  dropped_unknown_id,
  dropped_wrong_source,
  dropped_wrong_version,
  dropped_wrong_community,
  dropped_not_a_response,
  timed_out,
  receive_failed,
  last = receive_failed,
};
inline constexpr std::array<std::string_view, static_cast<std::size_t>(Count::last) + 1> kCountNames{
    "sent",
    "retransmitted",
    "send_failed",
    "received",
    "answered",
    "recognised",
    "dropped_malformed",
    "dropped_unknown_id",
    "dropped_wrong_source",
    "dropped_wrong_version",
    "dropped_wrong_community",
    "dropped_not_a_response",
    "timed_out",
    "receive_failed",
};

class StandingRequest;

// A request under way. Lives in the frame of the coroutine that waits for it.
struct PendingRequest final : RequestTable::Entry {
  using Entry::Entry;

  const config::Credential* credential = nullptr;
  // With SNMPv3: what is known of the engine, and whether this only asks who it is.
  UsmPeer* usm = nullptr;
  bool discovery = false;
  std::optional<UsmAnswer> report;  // what came in place of an answer; the outcome is then an error
  std::string message;
  StandingRequest* standing = nullptr;  // has the message then, and recognises the answer
  bool admitted = false;                // one of those outstanding
  std::string send_error;               // why this machine could not send, when it could not
  std::optional<model::Result<Response>> outcome;
  bool unchanged = false;                     // by the standing request: the outcome has no variables
  std::optional<std::uint32_t> up_time;       // then
  boost::asio::steady_timer* bell = nullptr;  // cancelled when there is an outcome
};

struct Network::State : std::enable_shared_from_this<Network::State> {
  State(boost::asio::any_io_executor on, Clock& with, config::Polling how);

  // Puts the request on the wire, or in line when too many are outstanding. Its outcome
  // comes later through the bell, or is there at once when it cannot be sent at all.
  void start(PendingRequest& pending, const Request& request);
  void start(PendingRequest& pending);  // of a standing request

  // Forgets the request; nothing if it has ended already.
  void forget(PendingRequest& pending);

  void stop();

  boost::asio::any_io_executor executor;
  Clock& clock;
  config::Polling polling;
  Codec codec;
  UsmCodec usm_codec;
  RequestTable table;
  Admission in_line;
  Gate full_readings;
  StandingMessages standing_messages;
  std::array<std::uint64_t, kCountNames.size()> counts{};
  bool stopped = false;

  void count(Count what) { ++counts[static_cast<std::size_t>(what)]; }

  // Sockets.
  struct Family {
    explicit Family(const boost::asio::any_io_executor& executor) : socket(executor) {}
    boost::asio::ip::udp::socket socket;
  };
  Family v4;
  Family v6;

 private:
  struct Buffers;

  Family* family_of(const Endpoint& peer, std::string& error);
  void await_readable(Family& family);
  void drain(Family& family);
  void on_datagram(std::span<unsigned char> datagram, const Endpoint& source);
  void on_usm_message(PendingRequest& pending, std::span<unsigned char> datagram);
  model::Result<std::string> encode(const PendingRequest& pending, const Request& request);
  void send(PendingRequest& pending);
  void send_first(PendingRequest& pending);
  void admit();
  void finish(PendingRequest& pending, model::Result<Response> outcome);
  void give_up(PendingRequest& pending);
  void leave(PendingRequest& pending);
  void note_round_trip(const PendingRequest& pending, Response& response) const;

  // The one coroutine that waits for the earliest deadline.
  void keep_deadlines();
  boost::asio::awaitable<void> watch_deadlines(std::shared_ptr<State> self);
  std::unique_ptr<Sleeper> sleeper_;
  std::optional<model::SteadyTime> awaited_;  // what the watch sleeps until; nothing: idle
  bool watching_ = false;

  std::shared_ptr<Buffers> buffers_;
};

}  // namespace frisket::snmp
