// What the files that use net-snmp share: its headers, its PDU, its values as ours.
//
// Only the codecs (codec.cpp, usm_codec.cpp, notification_codec.cpp, usm_notification_codec.cpp), usm_slot.cpp and
// notification_pdu.cpp include this.
#pragma once

// net-snmp's headers want their configuration first.
#include <net-snmp/net-snmp-config.h>
// Kept apart from the rest by this comment: the order matters.
#include <net-snmp/net-snmp-includes.h>
#undef max_repetitions  // names of netsnmp_pdu's fields as macros, and names of ours
#undef non_repeaters

#include <cstddef>
#include <memory>
#include <optional>
#include <string>

#include "probes/snmp/pdu.h"

namespace frisket::snmp {

struct PduDeleter {
  void operator()(netsnmp_pdu* pdu) const { snmp_free_pdu(pdu); }
};
using Pdu = std::unique_ptr<netsnmp_pdu, PduDeleter>;

// Call once before anything else of the library.
void quieten_library();

// Nothing for a name that no agent may send (RFC 2578 section 3.5).
std::optional<Oid> name_of(const oid* ids, std::size_t count);

// Whatever the library took for a variable; what does not fit its type is Opaque.
Value value_of(const netsnmp_variable_list& variable);

// The request without version and ids. Null for a name that cannot be encoded, or without memory.
Pdu request_pdu(const Request& request);

// PDUs as they go on the wire, through one buffer that the library grows and that is kept between calls.
class MessageBuilder {
 public:
  MessageBuilder() = default;
  ~MessageBuilder();
  MessageBuilder(const MessageBuilder&) = delete;
  MessageBuilder& operator=(const MessageBuilder&) = delete;

  // Nothing for what the library cannot build; session.s_snmp_errno then says why.
  std::optional<std::string> build(netsnmp_session& session, netsnmp_pdu& pdu);

 private:
  u_char* buffer_ = nullptr;
  std::size_t length_ = 0;
};

// Error status and variables. Nothing where a name is one that no agent may send.
std::optional<Response> response_from(const netsnmp_pdu& pdu);

}  // namespace frisket::snmp
