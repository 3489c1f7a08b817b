// The socket that notifications come in on.
//
// Datagrams are taken in bounded batches, so that a flood cannot keep the rest of the daemon from
// its turn; what is from an address that nobody knows is not even decoded. Informs are answered
// from the address that they were sent to. What a notification means is the audience's affair.
// On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/ip/udp.hpp>
#include <cstdint>
#include <map>
#include <memory>
#include <span>
#include <string>

#include "config/config.h"
#include "probes/clock/clock.h"
#include "probes/model/result.h"
#include "probes/snmp/notification.h"
#include "probes/snmp/usm_notification_codec.h"

namespace frisket::snmp {

class Listener {
 public:
  class Audience {
   public:
    virtual ~Audience() = default;

    // Whether anything from this address is worth decoding. Asked for every datagram.
    virtual bool knows(const boost::asio::ip::address& source) = 0;

    // The credentials that an SNMPv3 notification from this known address may be sent with. Valid until
    // the next call.
    virtual std::span<const config::Credential> users(const boost::asio::ip::address& source) = 0;

    // A well-formed notification from a known address. False refuses it (the community, the
    // credential): an inform then stays unanswered.
    virtual bool take(const Notification& notification, const boost::asio::ip::address& source) = 0;
  };

  // The clock and the audience must outlive the listener.
  Listener(boost::asio::any_io_executor executor, Clock& clock, Audience& audience);
  ~Listener();

  // From now on SNMPv3 is heard as well, with this as our own engine. Once: informs are sent to it.
  void speak_as(LocalEngine own);

  // Takes up the address, in place of the one before. Fails (local) with what the system said;
  // then it is closed.
  model::Result<boost::asio::ip::udp::endpoint> open(const config::Listen& where);
  void close();

  // Since start: "received", "traps", "informs", "malformed", "unknown_sender", "refused", "reports",
  // "not_answered". Every datagram received is one of the six in the middle.
  std::map<std::string, std::uint64_t> counters() const;

 private:
  struct State;
  std::shared_ptr<State> state_;  // shared with the receive loop, which ends after close()
};

}  // namespace frisket::snmp
