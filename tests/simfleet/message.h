// The message layer: what is around a PDU. Versions 1 (RFC 1157) and 2c (RFC 1901).
//
// Version 3 gets a sibling of parse() and build_response(); the agent (agent.h) sees
// only a Request and does not know who carried it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace frisket::simfleet {

enum class Version : std::uint8_t { v1 = 0, v2c = 1 };

// RFC 3416 section 3, error-status (the first six are RFC 1157's too).
enum class ErrorStatus : std::uint8_t { no_error = 0, too_big = 1, no_such_name = 2, gen_err = 5, no_access = 6 };

// One request. The views point into the datagram.
struct Request {
  Version version = Version::v2c;
  std::string_view community;
  std::uint8_t pdu = 0;         // a ber::Tag
  std::string_view request_id;  // the whole element, repeated in the answer as it came
  std::int32_t non_repeaters = 0;
  std::int32_t max_repetitions = 0;
  std::string_view variables;  // the body of the variable-bindings list
};

enum class Parsed { ok, malformed, other_version };

// Takes apart a datagram. Trailing octets after the message are ignored, as many agents do.
Parsed parse(std::string_view datagram, Request& into);

// Puts the message around a list of encoded variable bindings; `out` is replaced.
void build_response(const Request& request, ErrorStatus status, std::size_t error_index, std::string_view variables,
                    std::string& out);

// Octets that build_response() adds to the variable bindings, at most.
std::size_t response_overhead(const Request& request);

}  // namespace frisket::simfleet
