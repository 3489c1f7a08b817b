// The part of an answer that can be compared with the last one.
//
// Two answers of a device that stands still differ in the request id and in sysUpTime, if that
// is asked first. All after it is compared as it came, so that an answer that was understood
// once need not be understood again. Only the encoding that leaves no room for
// interpretation is read here (community-based versions, exact definite lengths, noError); whatever
// else it is goes to the codec. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

namespace frisket::snmp {

struct AnswerTail {
  std::optional<std::uint32_t> up_time;  // of sysUpTime.0, when it is the first variable
  std::span<const unsigned char> rest;   // the variables (after sysUpTime), as they came
};

// Nothing for anything but such a Response-PDU. `up_time_first`: sysUpTime.0 was asked first, so it has to
// be answered first.
std::optional<AnswerTail> answer_tail(std::span<const unsigned char> datagram, bool up_time_first);

}  // namespace frisket::snmp
