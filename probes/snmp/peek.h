// The outer fields of a community-based message, without decoding the rest.
//
// An answer is looked up by its request id and checked for source, version, community
// and kind before the codec spends any time on it. Reads only what it returns; never
// reads past the end. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

namespace frisket::snmp {

// BER tag of a Response-PDU (RFC 3416 section 3).
inline constexpr std::uint8_t kResponseTag = 0xa2;

struct Peek {
  std::int32_t version = 0;    // on the wire: 0 is SNMPv1, 1 is SNMPv2c
  std::string_view community;  // valid as long as the datagram
  std::uint8_t pdu_tag = 0;
  std::int32_t request_id = 0;
};

// Nothing when the datagram does not begin as such a message does, or ends before the
// request id; also for SNMPv3, whose header differs.
std::optional<Peek> peek(std::span<const unsigned char> datagram);

}  // namespace frisket::snmp
