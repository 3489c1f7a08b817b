// An incident as the store keeps it: all of it, as JSON of the store's own.
//
// Not the public form (daemon/json), which leaves things out and may be changed for its readers' sake. Pure;
// any thread.
#pragma once

#include <string>
#include <string_view>

#include "daemon/incidents/incident.h"
#include "probes/model/result.h"

namespace frisket::store {

std::string kept_text(const incidents::Incident& incident);

// invalid: the text is none that kept_text() gave.
model::Result<incidents::Incident> incident_from(std::string_view text);

// What is kept of a transition: its incident without what the incident's own row says anyway (evidence,
// remedy, and the lists of actions and changes), since transitions are many and are kept long.
incidents::Transition as_kept(incidents::Transition transition);

}  // namespace frisket::store
