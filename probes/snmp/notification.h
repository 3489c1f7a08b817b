// What a device tells without being asked: a trap, or an inform, which wants an answer.
//
// Three forms (RFC 1157 section 4.1.6, RFC 3416 sections 4.2.6 and 4.2.7) become one value. It is
// hostile input like all else, and more so: anybody can send one. Pure values; any thread.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "probes/snmp/pdu.h"

namespace frisket::snmp {

struct Notification {
  enum class Form {
    trap_v1,  // Trap-PDU
    trap_v2,  // SNMPv2-Trap-PDU
    inform,   // InformRequest-PDU
  };

  Form form = Form::trap_v2;
  std::string community;        // SNMPv1 and v2c
  std::string user;             // SNMPv3: who sent it, proven as far as his credential asks for
  std::int32_t request_id = 0;  // none in a Trap-PDU

  // Which notification: snmpTrapOID.0, or what RFC 3584 section 3.1 makes of a Trap-PDU.
  Oid name;
  TimeTicks up_time;
  // Of a Trap-PDU only. What the sender says its address is: not to be trusted.
  std::array<std::uint8_t, 4> agent_address{};

  // Without sysUpTime.0 and snmpTrapOID.0.
  std::vector<VarBind> variables;

  friend bool operator==(const Notification&, const Notification&) = default;
};

std::string_view to_text(Notification::Form form);  // "v1 trap", "trap", "inform"

// One bounded line for the debug log: form, name and the first variables. Whatever the sender
// wrote is escaped: printable ASCII, the rest as "\x1b".
std::string describe(const Notification& notification);

}  // namespace frisket::snmp
