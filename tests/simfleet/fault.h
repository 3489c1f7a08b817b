// Misbehaviour of an agent: what is done to an answer before it leaves.
//
// More modes go into this one table (fault.cpp); those that are about what an answer says are done
// by lie.h. Deterministic given the random source.
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
  elsewhere,        // sent from the address after the device's
  half_silent,      // no answer to a walk that goes on from a row
  restart,          // switched off and on when the next walk of the alert table begins; then over
  // lie.h: well-formed answers.
  version_1,       // version 1 in the message, whatever was asked
  wrong_types,     // texts for numbers, numbers for texts
  nulls,           // every value is NULL, and no error
  empty_strings,   // every text is empty
  long_strings,    // one text makes the answer 65,000 octets long
  backwards,       // the variables in reverse order
  stuck,           // a walk comes to the very names that it came from
  endless,         // a table never ends
  half_table,      // a table's first row, then genErr
  index_zero,      // rows from 0
  index_huge,      // rows from 2,147,000,001
  index_too_huge,  // rows from 4,294,000,001
  index_pair,      // rows numbered 1.1, 2.1
};

std::optional<Fault> parse_fault_name(std::string_view name);
std::string fault_names();

// What is wrong with the octets: changes `answer` in place; returns how many copies to send (0, 1 or 2).
int misbehave(Fault fault, std::string& answer, std::mt19937_64& random);

}  // namespace frisket::simfleet
