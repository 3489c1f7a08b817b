// Notifications out of datagrams, and the answers to informs, by net-snmp.
//
// A codec alone, as codec.h: no socket, no file, no output. Its state is global and not
// re-entrant: use it on the thread of every other Codec of the process.
#pragma once

#include <memory>
#include <span>
#include <string>

#include "probes/model/result.h"
#include "probes/snmp/notification.h"

namespace frisket::snmp {

class NotificationCodec {
 public:
  NotificationCodec();
  ~NotificationCodec();
  NotificationCodec(const NotificationCodec&) = delete;
  NotificationCodec& operator=(const NotificationCodec&) = delete;

  struct Received {
    Notification notification;
    // The Response that acknowledges an inform (RFC 3416 section 4.2.7): same request id, same
    // variables. Empty for a trap, which gets none.
    std::string answer;
  };

  // Fails (nonsense) for anything but a whole notification of SNMPv1 or v2c. Whatever the octets
  // are: no crash, no output. The library may write to the octets while it works.
  model::Result<Received> decode(std::span<unsigned char> datagram);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::snmp
