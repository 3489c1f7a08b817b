// What the requests that tell of upkeep say, read strictly. An Error of kind invalid says what is wrong. Pure.
#pragma once

#include "daemon/http/message.h"
#include "daemon/http/upkeep.h"
#include "probes/model/result.h"

namespace frisket::http {

// {"part", "act": "set|order|receive|use", "count", "on_order", "by", "note"}
model::Result<StockAct> stock_act_from(const Request& request);

// {"by", "note", "at"} of the task "DEVICE:TASK". Without `at`: now; never later.
model::Result<upkeep::ServiceDone> service_done_from(const Request& request, std::string_view id);

// {"symptom", "known": {"repeats": true, ...}, "by", "note"}
model::Result<upkeep::Complaint> complaint_from(const Request& request, std::string_view device,
                                                const upkeep::ComplaintTable& table);

// {"cause", "known": {...}, "by", "note"}
model::Result<upkeep::Outcome> outcome_from(const Request& request, const upkeep::ComplaintTable& table);

}  // namespace frisket::http
