// Which raised incident goes on as which problem, when a reading has come in.
//
// Pure; any thread.
#pragma once

#include <optional>
#include <vector>

#include "daemon/incidents/causes.h"
#include "daemon/incidents/conditions.h"
#include "daemon/incidents/incident.h"

namespace frisket::incidents {

// For each incident the problem it goes on as, or nothing: then it is over. No problem is given twice.
// An incident keeps the problem that its own kind and subunit are part of; failing that, one that
// shares any of its evidence; failing that, what was opened for the jam that it was; failing that, one of its family of
// which only now, or no longer, the subunit is known ("a cover" that turns out to be the front cover). A stop without
// an explanation goes on as the explanation.
std::vector<std::optional<std::size_t>> match(const std::vector<const Incident*>& open,
                                              const std::vector<Problem>& problems);

// What is opened to take a sheet out belongs to the jam until it is closed, also when the sheet is out, when it is
// several covers and trays, and when the first reading that shows them no longer shows the jam: makes one problem of
// those that stand open, and of the jams that come again where these are still open.
void join_what_was_opened(const std::vector<const Incident*>& open, std::vector<Problem>& problems);

// Whether that condition is part of the work on a jam that is raised.
bool was_opened_for_a_jam(const std::vector<const Incident*>& open, const Condition& condition);

// The family and subunit of the incident's own kind.
Home own_home(const Incident& incident);

// Puts back what a raised incident's evidence tells of the last reading before a restart.
void recall(const Incident& incident, DeviceMemory& memory);

}  // namespace frisket::incidents
