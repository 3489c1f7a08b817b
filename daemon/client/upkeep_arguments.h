// The command line of the verbs about upkeep. As arguments.h.
#pragma once

#include <string>

#include "daemon/client/arguments.h"

namespace CLI {
class App;
}

namespace frisket::client {

// The options of one of these verbs; none for any other.
void add_upkeep_options(CLI::App& app, Verb verb, Request& request);

// Sorts the words of a request of these verbs into its fields. What does not fit together; empty if all does.
std::string settle_upkeep(Request& request);

}  // namespace frisket::client
