// One queue of one print server, and the command that asks for its state. Pure; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "probes/model/result.h"

namespace frisket::lpd {

inline constexpr std::uint16_t kPort = 515;  // RFC 1179 section 3.1

struct Target {
  std::string host;  // a name or an IP literal without brackets
  std::uint16_t port = kPort;
  std::string queue;
};

// Fails with Kind::invalid: no host, port 0, or a queue that could not be sent as one operand, which is 1 to 127
// printable characters of ASCII without blanks (RFC 1179 section 3.1; the length is ours).
model::Result<Target> target_of(std::string_view host, std::uint16_t port, std::string_view queue);

// "Send queue state", short (RFC 1179 section 5.3) or long (5.4).
enum class Form { brief, full };

// For all jobs of the queue.
std::string command(Form form, const Target& target);

}  // namespace frisket::lpd
