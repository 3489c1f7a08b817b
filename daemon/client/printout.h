// What a verb ends with when nothing went wrong.
#pragma once

#include <string>

#include "daemon/client/display.h"
#include "daemon/client/exit_status.h"
#include "daemon/client/fields.h"

namespace frisket::client {

struct Printout {
  std::string text;
  ExitStatus status = ExitStatus::done;
};

// The daemon's own JSON, made harmless for a terminal.
inline Printout as_served(const Json& json) { return {inert_json(json.dump(2)) + '\n'}; }

}  // namespace frisket::client
