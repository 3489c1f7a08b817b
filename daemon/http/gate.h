// The way in for every request: asks the access rules, counts refusals, and has what changes something written down.
//
// One thread (the io_context's).
#pragma once

#include <optional>
#include <string>

#include "daemon/http/access.h"
#include "daemon/http/audit_trail.h"
#include "daemon/http/message.h"
#include "daemon/http/refusal_limit.h"
#include "daemon/http/request_limit.h"

namespace frisket::http {

// What a request wants to change, for the record.
struct Act {
  std::string what;    // "incident.ack"
  std::string target;  // the incident's id
};

class Gate {
 public:
  // The trail must outlive every answer. Null: nothing is written down.
  explicit Gate(AuditTrail* trail = nullptr) : trail_(trail) {}

  // False: they are those that it has.
  bool set_tokens(Tokens tokens);
  bool has_tokens() const { return tokens_.has_value(); }
  AuditTrail* trail() const { return trail_; }

  // Counts a request, whatever it asks for. What to answer in place of it if its address makes too many.
  std::optional<Response> too_many(const Request& request, const std::string& path);

  Decision enter(const Request& request, config::Right needed);

  // A refusal as an answer. `act`: what would have been changed, which is then written down.
  Response refused(const Refusal& refusal, const Request& request, const std::string& path,
                   const std::optional<Act>& act);

  // What a route answers to a request that changes something: given on once it is written down with its outcome.
  Response recorded(Response response, const Access& access, const Request& request, Act act);

 private:
  AuditTrail* trail_;
  Tokens tokens_;
  RefusalLimit limit_;
  RequestLimit requests_;
};

}  // namespace frisket::http
