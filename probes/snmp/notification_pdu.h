// The notification in a PDU that the library has taken apart.
//
// Includes net-snmp: only notification_codec.cpp and usm_notification_codec.cpp may include this.
#pragma once

#include <optional>

#include "probes/snmp/net_snmp.h"
#include "probes/snmp/notification.h"

namespace frisket::snmp {

// Of a Trap-PDU, an SNMPv2-Trap-PDU or an InformRequest-PDU, without community or user. Nothing for
// any other PDU, and for one that is not as its RFC has it.
std::optional<Notification> notification_from(const netsnmp_pdu& pdu);

// Makes the PDU of an inform that of the Response to it (RFC 3416 section 4.2.7).
void turn_into_response(netsnmp_pdu& pdu);

}  // namespace frisket::snmp
