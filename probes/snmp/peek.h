// The outer fields of a message, without decoding the rest.
//
// An answer is looked up by its id and checked for source, version, community and kind
// before the codec spends any time on it. Reads only what it returns; never
// reads past the end. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

namespace frisket::snmp {

// BER tag of a Response-PDU (RFC 3416 section 3).
inline constexpr std::uint8_t kResponseTag = 0xa2;

// What a message of SNMPv3 with the user-based security model has in clear (RFC 3412 section 6,
// RFC 3414 section 2.4). Views are valid as long as the datagram.
struct PeekUsm {
  bool authenticated = false;  // it says so: the codec checks
  bool encrypted = false;
  bool reportable = false;  // the sender takes reports
  std::string_view engine_id;
  std::uint32_t boots = 0;
  std::uint32_t time = 0;
  std::string_view user;
};

struct Peek {
  std::int32_t version = 0;     // on the wire: 0 is SNMPv1, 1 is SNMPv2c, 3 is SNMPv3
  std::string_view community;   // valid as long as the datagram; not in SNMPv3
  std::uint8_t pdu_tag = 0;     // not in SNMPv3, where the PDU may be encrypted
  std::int32_t request_id = 0;  // the msgID in SNMPv3
  PeekUsm usm;                  // in SNMPv3
};

// Nothing when the datagram does not begin as such a message does, or ends before the last of
// these fields; also for SNMPv3 with another security model.
std::optional<Peek> peek(std::span<const unsigned char> datagram);

}  // namespace frisket::snmp
