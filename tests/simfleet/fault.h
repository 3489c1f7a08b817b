// Misbehaviour of an agent: what is done to an answer before it leaves.
//
// More modes go into this one table (fault.cpp). Deterministic given the random source.
#pragma once

#include <cstdint>
#include <optional>
#include <random>
#include <string>
#include <string_view>

namespace frisket::simfleet {

enum class Fault : std::uint8_t {
  none,
  garbage,          // random octets of random length
  truncated,        // the answer's front, cut at random
  padded,           // the answer and random octets behind it
  oversized,        // the answer followed by zeros up to 60,000 octets
  duplicate,        // sent twice
  wrong_id,         // another request's id
  bad_length,       // the outer length claims more than there is
  negative_length,  // the outer length in eight octets, all ones
  empty,            // a datagram of no octets
  mute,             // no answer
};

std::optional<Fault> parse_fault_name(std::string_view name);
std::string fault_names();

// Changes `answer` in place; returns how many copies to send (0, 1 or 2).
int misbehave(Fault fault, std::string& answer, std::mt19937_64& random);

}  // namespace frisket::simfleet
