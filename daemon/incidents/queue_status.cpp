#include "daemon/incidents/queue_status.h"

namespace frisket::incidents {

std::string_view state_word(const QueueStatus& status) {
  constexpr std::string_view kUnknown = "unknown";
  if (!status.reach) return kUnknown;
  if (*status.reach != model::QueueReach::answered) return to_text(*status.reach);
  if (!status.snapshot || !status.snapshot->state) return kUnknown;
  const auto states = model::listed<model::PrinterState>();
  return model::find_label(states, static_cast<std::int32_t>(*status.snapshot->state)).value_or(kUnknown);
}

}  // namespace frisket::incidents
