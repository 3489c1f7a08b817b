// The HTTP service's listeners: TCP for everybody on this machine, a UNIX socket for the client.
//
// Serves HTTP/1.1 (and 1.0) with keep-alive. Everything a client can make the service
// hold is bounded: connections, header, body, time to send, time to take the answer.
// On the io_context's thread; nothing here blocks it.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "config/certificate.h"
#include "daemon/http/access.h"
#include "daemon/http/audit_trail.h"
#include "daemon/http/commands.h"
#include "daemon/http/fleet_board.h"
#include "probes/clock/clock.h"
#include "probes/model/result.h"

namespace frisket::http {

struct Options {
  std::string address = "127.0.0.1";  // an IP literal; beyond loopback only with tokens
  std::uint16_t port = 9640;          // 0: any free port

  // Served besides TCP where given: mode 0660, taken over from a daemon that is gone,
  // removed by stop().
  std::optional<std::filesystem::path> unix_socket;

  // Accepted in Host besides the loopback names; in lower case. A listener beyond loopback takes any: every request
  // to it shows a token, which no foreign page can make a browser send.
  std::vector<std::string> host_names;

  std::size_t connections = 1024;   // then the longest idle one makes room, or the new one gets 503
  std::size_t event_streams = 768;  // of the connections; then 503

  std::size_t target_limit = 8U << 10U;   // bytes; then 414
  std::size_t header_limit = 16U << 10U;  // bytes, request line included; then 431
  std::size_t body_limit = 64U << 10U;    // bytes; then 413

  model::Milliseconds idle_deadline{60'000};    // between two requests; then hung up
  model::Milliseconds header_deadline{10'000};  // for a whole header; then 408
  model::Milliseconds body_deadline{30'000};    // for a whole body; then 408
  model::Milliseconds write_deadline{20'000};   // for the peer to take anything more of an answer
  model::Milliseconds heartbeat{15'000};        // a comment on an event stream where nothing happens
  model::Milliseconds stop_wait{3'000};         // for answers under way when stopping

  std::size_t event_batch = 64U << 10U;  // bytes of events handed to one reader at a time
  // What the system may hold for one event stream's reader (SO_SNDBUF, which it doubles). By itself it lets a reader
  // that takes nothing have some megabytes.
  int event_send_buffer = 128 << 10;
  int send_buffer = 0;  // bytes, SO_SNDBUF of accepted sockets; 0: the system's own (tests)
};

class Server {
 public:
  // Whatever is passed must outlive the server. Without commands nothing can be changed, without a trail nothing is
  // written down.
  Server(boost::asio::any_io_executor executor, FleetBoard& board, Clock& clock, Options options,
         Commands* commands = nullptr, AuditTrail* trail = nullptr);

  // stop() must have completed, or the io_context must not run any more.
  ~Server();

  // In force from the next request on; event streams that were opened with a token end, and may come back. Nothing: no
  // file of tokens is configured. Any time; before start() if the listener is beyond loopback.
  void set_tokens(Tokens tokens);

  // What TCP connections are shown from then on; those that are open go on as they are. Nothing: they are in clear.
  // Any time. On an error all stays as it was.
  model::Result<model::Done> set_certificate(const std::optional<config::Certificate>& certificate);

  // Opens the listeners and serves from then on; waits for nothing. Gives the TCP port. Once
  // only. After a failure nothing is open.
  model::Result<std::uint16_t> start();

  // Takes no more connections, ends idle ones and event streams, lets answers under way finish
  // within stop_wait, then hangs up. Never throws.
  boost::asio::awaitable<void> stop();

  struct Counters {
    std::uint64_t connections = 0;  // now
    std::uint64_t accepted = 0;
    std::uint64_t refused = 0;          // for want of room
    std::uint64_t requests = 0;         // answered
    std::uint64_t event_streams = 0;    // now
    std::uint64_t readers_dropped = 0;  // event streams ended because they read too slowly
  };
  Counters counters() const;

 private:
  std::shared_ptr<struct ServerState> state_;  // shared with the sessions
  std::unique_ptr<struct Listeners> listeners_;
};

}  // namespace frisket::http
