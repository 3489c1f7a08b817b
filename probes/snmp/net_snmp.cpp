#include "probes/snmp/net_snmp.h"

#include <algorithm>
#include <cstdlib>
#include <limits>
#include <utility>

namespace frisket::snmp {
namespace {

int pdu_type(Operation operation) {
  switch (operation) {
    case Operation::get:
      return SNMP_MSG_GET;
    case Operation::get_next:
      return SNMP_MSG_GETNEXT;
    case Operation::get_bulk:
      return SNMP_MSG_GETBULK;
  }
  return SNMP_MSG_GET;
}

// The library keeps 32-bit types in a long; what does not fit is not of the type.
template <class T>
Value unsigned_value(const netsnmp_variable_list& variable) {
  const auto wide = static_cast<unsigned long>(*variable.val.integer);
  if (wide > std::numeric_limits<std::uint32_t>::max()) return Opaque{variable.type};
  return T{static_cast<std::uint32_t>(wide)};
}

Value integer_value(const netsnmp_variable_list& variable) {
  const long wide = *variable.val.integer;
  if (wide < std::numeric_limits<std::int32_t>::min() || wide > std::numeric_limits<std::int32_t>::max()) {
    return Opaque{variable.type};
  }
  return Integer{static_cast<std::int32_t>(wide)};
}

Value ip_address_value(const netsnmp_variable_list& variable) {
  IpAddress address;
  if (variable.val_len != address.value.size()) return Opaque{variable.type};
  std::copy_n(variable.val.string, address.value.size(), address.value.begin());
  return address;
}

}  // namespace

// init_snmp() is not called: SNMPv1 and v2c need nothing of it, and it would look for
// MIB files, certificates and a locale. The settings guard against what calls it later.
void quieten_library() {
  netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_READ_CONFIGS, 1);
  netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_PERSIST_STATE, 1);
  // Without any handler the library logs to standard error.
  if (get_logh_head() == nullptr) netsnmp_register_loghandler(NETSNMP_LOGHANDLER_NONE, LOG_DEBUG);
}

std::optional<Oid> name_of(const oid* ids, std::size_t count) {
  if (count > kMaxOidLength) return std::nullopt;
  Oid name;
  for (std::size_t i = 0; i < count; ++i) {
    if (ids[i] > std::numeric_limits<std::uint32_t>::max()) return std::nullopt;
    name.append(static_cast<std::uint32_t>(ids[i]));
  }
  return name;
}

Value value_of(const netsnmp_variable_list& variable) {
  switch (variable.type) {
    case ASN_NULL:
      return Null{};
    case SNMP_NOSUCHOBJECT:
      return NoSuchObject{};
    case SNMP_NOSUCHINSTANCE:
      return NoSuchInstance{};
    case SNMP_ENDOFMIBVIEW:
      return EndOfMibView{};
    case ASN_INTEGER:
      return integer_value(variable);
    case ASN_COUNTER:
      return unsigned_value<Counter32>(variable);
    case ASN_GAUGE:
      return unsigned_value<Gauge32>(variable);
    case ASN_TIMETICKS:
      return unsigned_value<TimeTicks>(variable);
    case ASN_COUNTER64:
      return Counter64{(variable.val.counter64->high & 0xffffffffU) << 32U |
                       (variable.val.counter64->low & 0xffffffffU)};
    case ASN_OCTET_STR:
      return Octets{{reinterpret_cast<const char*>(variable.val.string), variable.val_len}};
    case ASN_OBJECT_ID: {
      auto name = name_of(variable.val.objid, variable.val_len / sizeof(oid));
      if (!name) return Opaque{variable.type};
      return std::move(*name);
    }
    case ASN_IPADDRESS:
      return ip_address_value(variable);
    default:
      return Opaque{variable.type};
  }
}

Pdu request_pdu(const Request& request) {
  Pdu pdu(snmp_pdu_create(pdu_type(request.operation)));
  if (!pdu) return nullptr;
  if (request.operation == Operation::get_bulk) {
    pdu->errstat = 0;  // non-repeaters
    pdu->errindex = request.max_repetitions;
  }
  oid ids[kMaxOidLength];
  for (const auto& name : request.names) {
    const auto view = name.view();
    if (view.size() < 2 || view.size() > kMaxOidLength) return nullptr;
    std::copy(view.begin(), view.end(), ids);
    if (snmp_add_null_var(pdu.get(), ids, view.size()) == nullptr) return nullptr;
  }
  return pdu;
}

std::optional<Response> response_from(const netsnmp_pdu& pdu) {
  Response response;
  response.error_status = static_cast<ErrorStatus>(pdu.errstat);
  response.error_index = static_cast<std::int32_t>(pdu.errindex);
  std::size_t count = 0;
  for (const auto* variable = pdu.variables; variable != nullptr; variable = variable->next_variable) ++count;
  response.variables.reserve(count);
  for (const auto* variable = pdu.variables; variable != nullptr; variable = variable->next_variable) {
    auto name = name_of(variable->name, variable->name_length);
    if (!name) return std::nullopt;
    response.variables.push_back({std::move(*name), value_of(*variable)});
  }
  return response;
}

MessageBuilder::~MessageBuilder() { std::free(buffer_); }

std::optional<std::string> MessageBuilder::build(netsnmp_session& session, netsnmp_pdu& pdu) {
  // The library writes backwards from the end of the buffer.
  std::size_t used = 0;
  if (snmp_build(&buffer_, &length_, &used, &session, &pdu) < 0) return std::nullopt;
  return std::string(reinterpret_cast<const char*>(buffer_) + length_ - used, used);
}

}  // namespace frisket::snmp
