// What is done to a queue without anybody saying so: only what its configuration names, and only so often.
//
// Pure.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "config/print_services.h"
#include "daemon/http/queue_acts.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/queue_status.h"
#include "probes/model/audit.h"

namespace frisket::service {

// Who acted, in the audit trail. No request can have it as its peer.
inline constexpr std::string_view kAutomatic = "automatic";
inline constexpr std::string_view kAutomaticPeer = "frisketd";

// Two of them are at least this far apart, so that a queue which stops again at once is seen to.
inline constexpr std::chrono::minutes kBetweenCures{10};

// Whether the incident is one that the configuration lets be cured.
bool may_be_cured(const config::Queue& queue, const incidents::Incident& incident);

// The act that cures it; nothing while it must wait: too often in the 24 hours before `now`, too soon after the last
// one, a job too young. `done`: the newest lines of the audit trail, failed ones among them.
std::optional<http::QueueAct> automatic_cure(const config::Queue& queue, const incidents::Incident& incident,
                                             const incidents::QueueStatus& status,
                                             std::span<const model::AuditRecord> done, model::WallTime now);

}  // namespace frisket::service
