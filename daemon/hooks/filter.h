// Which hook wants to hear of which incident. Pure; any thread.
#pragma once

#include "config/hook.h"
#include "daemon/incidents/incident.h"

namespace frisket::hooks {

// By the hook's kinds, severity, sites, devices, training and colorants. By kind: what the incident is, was,
// or has among its evidence, so who asks for cover-open is told of the jam behind it.
bool wants(const config::Hook& hook, const incidents::Incident& incident);

}  // namespace frisket::hooks
