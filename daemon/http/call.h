// What a route's handler is given, and what most of them do with it. Inside daemon/http only.
#pragma once

#include <optional>
#include <string_view>

#include "daemon/http/access.h"
#include "daemon/http/audit_trail.h"
#include "daemon/http/commands.h"
#include "daemon/http/fleet_board.h"
#include "daemon/http/message.h"
#include "daemon/http/parameters.h"
#include "daemon/http/target.h"

namespace frisket::http {

struct Call {
  const Request& request;
  const Target& target;
  FleetBoard& board;
  Commands* commands;         // null: nothing can be changed
  AuditTrail* trail;          // null: there is none
  const Access& access;       // on whose word; ends with the call
  std::string_view argument;  // what stands for the {} of the path; empty without one
  Parameters parameters;
};

inline constexpr std::string_view kJson = "application/json";

// Of the first thing that was wrong with the parameters.
Response bad_request(const Call& call);

// What is wrong with every request that posts something: it takes no parameters, and its body is JSON. Nothing: it
// fits.
std::optional<Response> misfit_of_post(Call& call);

Response list_response(const Slice& slice);

// The same, with the tag of the list's version.
Response list_response(const Call& call, const Slice& slice);

// JSON of the board in this version.
Response versioned(const Call& call, Pieces json, std::uint64_t version);

// The HTTP status that stands for what kept a command from being done.
unsigned status_of(model::Error::Kind kind);

}  // namespace frisket::http
