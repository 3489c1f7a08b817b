// The verb `queue`: one print queue, its jobs, and what a person may do to it.
#pragma once

#include "daemon/client/client.h"
#include "daemon/client/printout.h"

namespace frisket::client {

// Asks before what loses jobs (Surroundings::ask), unless the request says --yes or --dry-run. Kind invalid where
// nobody can be asked, or the answer is no: then nothing was done.
model::Result<Printout> queue_verb(const Request& request, Surroundings& around);

}  // namespace frisket::client
