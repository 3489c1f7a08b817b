// Agents that lie: what is in an answer, not how it is encoded.
//
// fault.h spoils the octets of an answer; this spoils what they say, so that every answer is
// well-formed SNMP. Tables are those of the Printer MIB (1.3.6.1.2.1.43), whose rows have names of 13
// sub-identifiers: the column, the printer, the row. Deterministic; one thread.
#pragma once

#include <string>
#include <string_view>

#include "tests/simfleet/fault.h"
#include "tests/simfleet/message.h"
#include "tests/simfleet/view.h"

namespace frisket::simfleet {

class Liar {
 public:
  // The request as the agent should take it: an agent with row numbers of its own is asked for rows
  // by these. Valid until the next call.
  Request understand(Fault fault, const Request& asked);

  // Changes the agent's answer to what this agent says. `view` as it answered.
  void lie(Fault fault, const Request& asked, const View& view, std::string& answer);

  // Whether the request walks on from a row of a table.
  static bool walks_on(const Request& request);
  // Whether it is the beginning of a walk of the alert table.
  static bool begins_alerts(const Request& request);

 private:
  std::string names_;
};

}  // namespace frisket::simfleet
