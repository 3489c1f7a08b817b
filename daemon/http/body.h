// The JSON bodies of requests that change something, read strictly. Pure.
#pragma once

#include "daemon/http/message.h"
#include "daemon/incidents/incident.h"
#include "probes/model/result.h"

namespace frisket::http {

// Whether the body says of itself that it is JSON. A web page of another origin cannot send that without
// asking first (CORS), and this service never says yes.
bool has_json(const Request& request);

// {"by": "...", "note": "...", "until": "2026-11-26T17:00:00Z", "for": "8h"}: `by` is needed; one of `until`
// and `for` is needed to shelve, and means nothing otherwise. An Error of kind invalid says what is wrong.
model::Result<incidents::OperatorAction> action_from(const Request& request, incidents::OperatorState state);

}  // namespace frisket::http
