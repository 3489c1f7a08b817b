// Requests to bytes and bytes to answers in SNMPv3 with the user-based security model, by net-snmp.
//
// The sibling of Codec, and as it a codec alone: no socket, no file, no output, no clock. What it costs
// does not depend on how many devices there are (usm_slot.h). Global state that is not
// re-entrant: use it on the thread of every other codec of the process.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <variant>

#include "config/config.h"
#include "probes/model/result.h"
#include "probes/model/time.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/usm.h"

namespace frisket::snmp {

// What an engine sent back.
struct UsmAnswer {
  std::variant<Response, UsmReport> content;
  // Of the message's header: whose it is. Proven only where `authentic` says so.
  std::string engine_id;
  std::uint32_t boots = 0;
  std::uint32_t time = 0;
  bool authentic = false;
};

class UsmCodec {
 public:
  UsmCodec();
  ~UsmCodec();
  UsmCodec(const UsmCodec&) = delete;
  UsmCodec& operator=(const UsmCodec&) = delete;

  // The question that every engine answers with a report that says who it is (RFC 3414 section 4).
  model::Result<std::string> encode_discovery(std::int32_t request_id);

  // An engine with the user's keys localized to it; boots and time as discovered. The first time for a
  // password takes some milliseconds, since guessing passwords is to be slow (RFC 3414 section 11.2).
  UsmEngine meet(const config::User& user, const UsmAnswer& answer, model::SteadyTime now);

  // The message as it goes on the wire; `request_id` is also its msgID. Fails (invalid) for what cannot be
  // encoded.
  model::Result<std::string> encode(const Request& request, const config::User& user, const UsmEngine& engine,
                                    std::int32_t request_id, model::SteadyTime now);

  // Fails (nonsense) for anything but a whole Response-PDU that this user was sent at the security level
  // that he asks with, or a whole Report-PDU; a digest that is wrong is nonsense too. An authentic message
  // moves the peer's time on, if it is later than what is known. The library may write to the octets.
  model::Result<UsmAnswer> decode(std::span<unsigned char> datagram, const config::User& user, UsmPeer& peer,
                                  model::SteadyTime now);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::snmp
