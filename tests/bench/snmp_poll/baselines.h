// What a poll is compared with.
#pragma once

#include <string>

#include "measure.h"
#include "probes/snmp/pdu.h"

namespace frisket::bench {

// The bytes of one request back and forth and nothing else: sendto, recvmmsg, a window.
Figures raw_udp(const Fleet& fleet, const std::string& request, double seconds);

// net-snmp used as a codec and a table of request ids, in the same bare loop.
Figures bare_codec(const Fleet& fleet, const snmp::Request& request, double seconds);

// Debian's snmpget in a loop, one after another: seconds of a core for each, its start included.
Figures command_line_tool(const Fleet& fleet, const snmp::Request& request, double seconds);

}  // namespace frisket::bench
