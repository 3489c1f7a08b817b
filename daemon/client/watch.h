// Following the event stream, over as many connections as it takes.
#pragma once

#include "daemon/client/client.h"

namespace frisket::client {

// How long to wait before the n-th attempt in a row (n from 1): the first time what the stream
// asked for, then twice as long each time, at most half a minute.
std::chrono::milliseconds back_off(int attempt, std::chrono::milliseconds first);

// Prints one line per change until somebody stops it (status done). A first connection that
// fails ends it; a later one is tried again, and the stream resumed where it broke. A refusal or
// nonsense ends it at any time.
ExitStatus watch(const Request& request, Surroundings& around);

}  // namespace frisket::client
