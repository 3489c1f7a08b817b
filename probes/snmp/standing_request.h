// A request that is asked again and again, and mostly answered the same.
//
// Its bytes are made once, and shared with other devices' (standing_messages.h); only the request id in them changes.
// An answer whose variables are, but for sysUpTime, byte for byte those that were remember()ed is recognised without
// decoding; any other takes the codec's path. On the io_context's thread; one ask() at a time.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/asio/steady_timer.hpp>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "probes/model/result.h"
#include "probes/snmp/exchange.h"
#include "probes/snmp/network.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/request_table.h"
#include "probes/snmp/standing_messages.h"

namespace frisket::snmp {

class StandingRequest {
 public:
  // What SNMPv3 protects differs in every message.
  static bool speaks(config::SnmpVersion version) { return version != config::SnmpVersion::v3; }

  // The network and the credential must outlive it; speaks() holds for the latter's version. `up_time_first` says
  // that sysUpTime.0 is the first name. Null for a request that cannot be encoded.
  static std::unique_ptr<StandingRequest> make(Network& network, Endpoint peer, const config::Credential& credential,
                                               const Request& request, bool up_time_first, bool peer_is_fixed);

  struct Answer {
    bool unchanged = false;                // as remembered; `response` then has no variables
    std::optional<std::uint32_t> up_time;  // of an unchanged answer
    model::Result<Response> response;
  };

  // As exchange().
  boost::asio::awaitable<Answer> ask(Patience patience);

  // The last answer has been understood: one like it is unchanged from now on. Nothing happens if its
  // encoding cannot be compared.
  void remember();
  void forget() { known_ = false; }

  // Whether there is no other address to ask.
  bool is_for_good() const { return peer_is_fixed_; }
  const Endpoint& peer() const { return peer_; }
  const config::Credential& credential() const { return credential_; }

  // For the network.
  std::string_view message(std::int32_t id) const { return message_->with_id(id); }  // until another is asked for
  // Whether the datagram is the answer remembered; its sysUpTime then.
  std::optional<Answer> recognise(std::span<const unsigned char> datagram) const;
  // The codec has read this datagram.
  void decoded(std::span<const unsigned char> datagram);

 private:
  StandingRequest(Network& network, Endpoint peer, const config::Credential& credential, bool up_time_first);

  Network& network_;
  Endpoint peer_;
  const config::Credential& credential_;
  std::shared_ptr<StandingMessage> message_;
  bool up_time_first_;
  bool peer_is_fixed_ = false;
  bool known_ = false;
  std::string tail_;                // of the last answer that the codec read
  boost::asio::steady_timer bell_;  // only a place to wait
};

}  // namespace frisket::snmp
