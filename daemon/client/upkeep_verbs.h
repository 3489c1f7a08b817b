// The verbs about what comes: `order`, `stock`, `upkeep`, `meter`, `round`, and about what was: `history`,
// `reliability`.
//
// As run() in client.h. Where there is no forecast yet, a pipe gets what there is and standard error says so.
#pragma once

#include "daemon/client/client.h"
#include "daemon/client/printout.h"

namespace frisket::client {

model::Result<Printout> order_verb(const Request& request, Surroundings& around);
model::Result<Printout> stock_verb(const Request& request, Surroundings& around);
model::Result<Printout> upkeep_verb(const Request& request, Surroundings& around);
model::Result<Printout> meter_verb(const Request& request, Surroundings& around);
model::Result<Printout> reliability_verb(const Request& request, Surroundings& around);
model::Result<Printout> round_verb(const Request& request, Surroundings& around);
model::Result<Printout> history_verb(const Request& request, Surroundings& around);

}  // namespace frisket::client
