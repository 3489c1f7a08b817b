// One queue of one print server, and the command that asks for its state. Pure; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "probes/model/lpd.h"
#include "probes/model/result.h"

namespace frisket::lpd {

using Target = model::LpdTarget;
using model::uri_of;

inline constexpr std::uint16_t kPort = model::kLpdPort;

inline model::Result<Target> target_of(std::string_view host, std::uint16_t port, std::string_view queue) {
  return model::lpd_target(host, port, queue);
}

// "Send queue state", short (RFC 1179 section 5.3) or long (5.4).
enum class Form { brief, full };

// For all jobs of the queue.
std::string command(Form form, const Target& target);

}  // namespace frisket::lpd
