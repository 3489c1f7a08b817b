// The words of remedies for print queues: remedy_texts.h's sister for what is mended at a desk.
//
// Common practice, no source. Nothing here needs a hand inside a printer. Pure; any thread.
#pragma once

#include <optional>
#include <string_view>

#include "daemon/incidents/remedy_texts.h"

namespace frisket::incidents {

// Nothing for a kind that is not about a queue.
std::optional<RemedyText> queue_remedy(std::string_view keyword);

}  // namespace frisket::incidents
