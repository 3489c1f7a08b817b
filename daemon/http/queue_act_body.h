// What a person may ask of a queue, and what came of it, as JSON. Pure.
#pragma once

#include <string>
#include <string_view>

#include "daemon/http/message.h"
#include "daemon/http/queue_acts.h"
#include "daemon/json/forms.h"
#include "probes/model/result.h"

namespace frisket::http {

// The last part of the path that an act is posted to. Which kind of cancelling is meant, the body says.
enum class QueueVerb { pause, resume, cancel, move, restart };

// {"dry_run": false, "by": "...", "note": "..."}, none of them needed; to cancel exactly one of {"job": 17},
// {"head": true} and {"waiting": true}; to move {"to": "..."}. An Error of kind invalid says what is wrong.
model::Result<QueueAct> queue_act_from(const Request& request, QueueVerb verb, std::string_view queue);

// `personal`: with the names and owners of the jobs.
json::Json outcome_form(const QueueActOutcome& outcome, bool personal);

// For the audit trail: what was done, to which jobs by their ids, and never whose they are. JSON text, within
// model::kMostAuditDetail whatever the number of jobs.
std::string audit_detail_of(const QueueActOutcome& outcome);

}  // namespace frisket::http
