// The routes of upkeep: order, stock, service, meter, round, history, complaints, reliability. Lines of the table in
// routes.cpp. Inside daemon/http only.
#pragma once

#include "daemon/http/call.h"

namespace frisket::http {

Response get_order(Call& call);
Response get_stock(Call& call);
Response get_upkeep(Call& call);
Response get_meter(Call& call);
Response get_round(Call& call);
Response get_history(Call& call);
Response get_symptoms(Call& call);
Response get_complaints(Call& call);
Response get_reliability(Call& call);

// Answered once it is kept.
Response post_stock(Call& call);
Response post_service_done(Call& call);
Response post_complaint(Call& call);
Response post_outcome(Call& call);

}  // namespace frisket::http
