// Reads an agent that has answered: whether it is a printer, and what it says of itself.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <string>
#include <vector>

#include "config/config.h"
#include "probes/clock/clock.h"
#include "probes/discovery/found.h"
#include "probes/snmp/network.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/request_table.h"

namespace frisket::discovery {

// The first question, in every version of the protocol: a GETNEXT, so that every agent has an
// answer to it.
snmp::Request first_question();

// sysDescr in the answer to first_question(); empty if it is not there.
std::string description_in(const snmp::Response& answer);

// One list of the printers from the two tables: rows of the same index are one printer; of the
// rest, one is taken for one as long as there are two (agents exist that number the tables apart:
// common practice, no source).
std::vector<PrinterRow> join_rows(std::vector<PrinterRow> hosts, std::vector<PrinterRow> printers);

// Bounded in time and requests whatever the agent does. `description` is its sysDescr as far as
// known. The network and the clock must outlive the wait. A printer is an agent that has an hrDeviceTable
// row of type hrDevicePrinter (RFC 2790) or a prtGeneralTable row (RFC 3805).
boost::asio::awaitable<Found> read_agent(snmp::Network& network, Clock& clock, snmp::Endpoint peer,
                                         config::Credential credential, std::string description);

}  // namespace frisket::discovery
