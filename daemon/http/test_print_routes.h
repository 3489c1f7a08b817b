// POST /v1/devices/{name}/testprint. Inside daemon/http only; the table of routes.cpp names it.
#pragma once

#include "daemon/http/call.h"

namespace frisket::http {

// Answered with the verdict, minutes later perhaps; a dry run at once.
Response post_testprint(Call& call);

}  // namespace frisket::http
