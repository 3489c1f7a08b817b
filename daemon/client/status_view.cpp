#include "daemon/client/table.h"
#include "daemon/client/views.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

// What a state of kDeviceStates is called in a sentence about several devices.
constexpr const char* kStateWords[] = {"ready", "busy", "in need of attention", "stopped", "silent", "unknown"};
static_assert(std::size(kStateWords) == std::size(kDeviceStates));

std::string severity_counts(const std::vector<Incident>& open) {
  std::vector<std::string> parts;
  for (const Severity severity : {Severity::critical, Severity::major, Severity::minor, Severity::warning}) {
    std::int64_t count = 0;
    for (const Incident& each : open) count += each.severity == severity ? 1 : 0;
    if (count > 0) parts.push_back(std::to_string(count) + ' ' + std::string(model::to_text(severity)));
  }
  return joined(parts, ", ");
}

}  // namespace

std::string status_screen(const DeviceCounts& counts, std::vector<Incident> open, const Screen& screen) {
  std::vector<std::string> states;
  for (std::size_t i = 0; i < std::size(kDeviceStates); ++i)
    if (counts.by_state[i] > 0) states.push_back(std::to_string(counts.by_state[i]) + ' ' + kStateWords[i]);
  std::string devices = counted_words(counts.total, "device", "devices");
  if (!states.empty()) devices += ": " + joined(states, ", ");
  std::string out = paragraph("", devices, screen);

  if (open.empty()) return out + paragraph("", "No incident is open.", screen);
  worst_first(open);
  const auto total = static_cast<std::int64_t>(open.size());
  const std::string incidents = counted_words(total, "open incident", "open incidents") + ": " + severity_counts(open);
  return out + paragraph("", incidents, screen) + '\n' + incident_blocks(open, screen);
}

// Two tables with an empty line between them: the states, then the incidents.
std::string status_lines(const DeviceCounts& counts, std::vector<Incident> open) {
  std::string out = tab_line({"state", "devices"});
  for (std::size_t i = 0; i < std::size(kDeviceStates); ++i)
    out += tab_line({kDeviceStates[i], std::to_string(counts.by_state[i])});
  out += tab_line({"total", std::to_string(counts.total)});
  worst_first(open);
  return out + '\n' + incidents_lines(open);
}

}  // namespace frisket::client
