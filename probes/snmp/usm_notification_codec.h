// Notifications out of datagrams of SNMPv3 with the user-based security model, and what is sent back.
//
// Of a trap the sender's engine is the authoritative one, of an inform our own (RFC 3414 section
// 1.5.1): whoever wants to send one asks for our engine id and its time first, and gets a report. As
// codec.h: no socket, no file, no output; global state, one thread. Our engine is the whole process's.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "config/config.h"
#include "probes/model/result.h"
#include "probes/model/time.h"
#include "probes/snmp/notification.h"

namespace frisket::snmp {

// Our own engine (RFC 3411 section 5): must not start twice under one number of boots.
struct LocalEngine {
  std::string id;
  std::uint32_t boots = 1;
  friend bool operator==(const LocalEngine&, const LocalEngine&) = default;
};

class UsmNotificationCodec {
 public:
  explicit UsmNotificationCodec(LocalEngine own);
  ~UsmNotificationCodec();
  UsmNotificationCodec(const UsmNotificationCodec&) = delete;
  UsmNotificationCodec& operator=(const UsmNotificationCodec&) = delete;

  struct Received {
    std::optional<Notification> notification;  // nothing: the datagram only asked who we are, or failed to prove itself
    std::string answer;                        // the Response to an inform, or a report; empty for a trap
  };

  // `users` are the credentials that may have sent it; those of other versions are passed over. One
  // is meant if its name and security level are those of the message. Fails: unknown_user where none
  // is meant, wrong_key where the digest is wrong or the message old, nonsense for all else. The
  // library may write to the octets.
  model::Result<Received> decode(std::span<unsigned char> datagram, std::span<const config::Credential> users,
                                 model::SteadyTime now);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::snmp
