// What the service answers: one function from a request and the board to a response.
//
// docs/api.md describes every route; a test holds the two together. To add one, write a
// handler and a line in the table of routes.cpp.
#pragma once

#include <string_view>
#include <vector>

#include "daemon/http/commands.h"
#include "daemon/http/fleet_board.h"
#include "daemon/http/gate.h"
#include "daemon/http/host_check.h"
#include "daemon/http/message.h"

namespace frisket::http {

// Never throws for anything a client can send. A GET changes nothing but caches; a POST asks `commands`, which
// must outlive the answer. Null: nothing can be changed here, and a POST gets 503. Without a gate the rules are those
// of a service without tokens, and nothing is written down.
Response respond(const Request& request, FleetBoard& board, const HostRule& hosts, Commands* commands = nullptr,
                 Gate* gate = nullptr);

// The routes as documented: "/v1/devices/{name}".
struct RouteName {
  std::string_view method;
  std::string_view path;
};
std::vector<RouteName> route_names();

}  // namespace frisket::http
