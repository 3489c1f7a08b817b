// The verb `complain`: from what a user says is wrong to what it probably is.
#pragma once

#include "daemon/client/client.h"
#include "daemon/client/printout.h"

namespace frisket::client {

// As run() in client.h.
model::Result<Printout> complain_verb(const Request& request, Surroundings& around);

}  // namespace frisket::client
