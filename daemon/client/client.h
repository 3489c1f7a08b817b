// The verbs: ask the daemon, print, say how to end.
//
// Blocks for as long as the Server does. One thread.
#pragma once

#include <functional>
#include <ostream>

#include "daemon/client/arguments.h"
#include "daemon/client/moments.h"
#include "daemon/client/pause.h"
#include "daemon/client/server.h"

namespace frisket::client {

// What a verb works with. All of it outlives the call.
struct Surroundings {
  Server& server;
  Pause& pause;
  std::ostream& out;
  std::ostream& err;
  bool terminal = false;  // out is one
  bool colour = false;
  std::size_t width = 80;
  std::function<WallTime()> now;
  Zone zone;
  std::string user{};  // who runs the program
  // Shows a text that ends with a question, and waits for the answer: true for yes. Empty: nobody can be asked.
  std::function<bool(const std::string&)> ask{};
};

// Whatever goes wrong is one sentence on `err` and the status that belongs to it.
ExitStatus run(const Request& request, Surroundings& around);

}  // namespace frisket::client
