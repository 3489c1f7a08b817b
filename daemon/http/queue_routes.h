// The routes below /v1/queues. Inside daemon/http only; the table of routes.cpp names them.
#pragma once

#include "daemon/http/call.h"

namespace frisket::http {

Response get_queues(Call& call);
Response get_queue(Call& call);
Response get_queue_jobs(Call& call);

// Answered once it is done, or once it is known why not.
Response post_queue_pause(Call& call);
Response post_queue_resume(Call& call);
Response post_queue_cancel(Call& call);
Response post_queue_move(Call& call);
Response post_queue_restart(Call& call);

}  // namespace frisket::http
