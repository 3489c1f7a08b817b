// IPP's way over the network: HTTP/1.1 POST of application/ipp (RFC 8010 section 4).
//
// One Transport serves every spooler and printer. Per endpoint one connection is kept open between
// exchanges and used again; a second exchange at the same time opens another, more wait their turn.
// Every step has a deadline, everything read is bounded. TLS trusts a certificate by its fingerprint:
// pinned by configuration, or remembered at first use; printers have no names that an
// authority would vouch for. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "probes/clock/clock.h"
#include "probes/ipp/target.h"
#include "probes/model/result.h"

namespace frisket::ipp {

struct Limits {
  model::Milliseconds connect{4'000};    // resolving, connecting and the TLS handshake together
  model::Milliseconds silence{8'000};    // for the head of the answer, then without one octet moving
  model::Milliseconds exchange{30'000};  // the whole, with waiting for a turn
  model::Milliseconds idle{60'000};      // an unused connection older than this is not used again
  std::size_t header_octets = std::size_t{16} << 10;
  std::size_t body_octets = std::size_t{8} << 20;
  std::size_t connections_per_endpoint = 2;
};

// Where trust on first use is remembered. Fingerprints are SHA-256 of the certificate in lower-case hex;
// the endpoint is "host:port". Both may be empty functions: then every first use is a first use.
struct TrustStore {
  std::function<std::optional<std::string>(const std::string& endpoint)> find;
  std::function<void(const std::string& endpoint, const std::string& fingerprint)> remember;
};

struct HttpReply {
  unsigned status = 0;  // body is an IPP message only with 200
  std::string body;
};

// Whether asking twice does no harm. What may not be repeated goes over a fresh connection, since one
// that was kept may end under it, and then nobody knows whether the request arrived.
enum class Repeat { harmless, never };

class Transport {
 public:
  Transport(boost::asio::any_io_executor executor, Clock& clock, Limits limits = {}, TrustStore trust = {});
  ~Transport();

  // Fails with
  //   silent    nobody there: refused or no connection, a deadline passed, the connection broke off
  //   refused   the certificate is not the one that is trusted
  //   nonsense  no HTTP, no TLS where TLS was asked for, too large, or a 200 that is not application/ipp
  //   invalid   a password that would go unprotected over the network
  // Any HTTP status is an answer and no failure. Always ends within Limits::exchange.
  boost::asio::awaitable<model::Result<HttpReply>> post(Target target, std::string body, Repeat repeat);

  // "opened", "reused", "closed", "repeated", "silent", "refused", "nonsense": since start.
  std::map<std::string, std::uint64_t> counters() const;
  std::size_t open_connections() const;  // in use and kept

  // Closes what is kept and lets no new exchange begin; those under way end as silent. Call before
  // the io_context is destroyed.
  void stop();

  struct State;

 private:
  std::shared_ptr<State> state_;  // shared with exchanges under way
};

}  // namespace frisket::ipp
