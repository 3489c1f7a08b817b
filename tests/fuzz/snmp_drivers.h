// What the SNMP fuzzers and the unit test of their seeds do with one input.
//
// A broken promise ends the process (abort), as a sanitizer's finding does.
#pragma once

#include <cstdint>
#include <span>

namespace frisket::fuzz {

// The octets as a datagram that arrives: peek, codec, and what the values then go through.
void drive_datagram(std::span<const std::uint8_t> input);

// The octets as a notification that arrives: decoded, described for the log, answered.
void drive_notification(std::span<const std::uint8_t> input);

// The octets as choices of what an agent answered: any type in any cell of any table.
void drive_reading(std::span<const std::uint8_t> input);

// The same, then as choices of what the agent answers when it is asked for what moves.
void drive_watch(std::span<const std::uint8_t> input);

}  // namespace frisket::fuzz
