#include "probes/snmp/codec.h"

// net-snmp's headers want their configuration first.
#include <net-snmp/net-snmp-config.h>
// Kept apart from the rest by this comment: the order matters.
#include <net-snmp/net-snmp-includes.h>
#undef max_repetitions  // names of netsnmp_pdu's fields as macros, and names of ours
#undef non_repeaters

#include <algorithm>
#include <cstdlib>
#include <limits>
#include <utility>

namespace frisket::snmp {
namespace {

using model::Error;

struct PduDeleter {
  void operator()(netsnmp_pdu* pdu) const { snmp_free_pdu(pdu); }
};
using Pdu = std::unique_ptr<netsnmp_pdu, PduDeleter>;

// init_snmp() is not called: SNMPv1 and v2c need nothing of it, and it would look for
// MIB files, certificates and a locale. The settings guard against what calls it later.
void quieten_library() {
  netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_READ_CONFIGS, 1);
  netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_PERSIST_STATE, 1);
  // Without any handler the library logs to standard error.
  if (get_logh_head() == nullptr) netsnmp_register_loghandler(NETSNMP_LOGHANDLER_NONE, LOG_DEBUG);
}

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

std::optional<Oid> name_of(const oid* ids, std::size_t count) {
  if (count > kMaxOidLength) return std::nullopt;
  Oid name;
  for (std::size_t i = 0; i < count; ++i) {
    if (ids[i] > std::numeric_limits<std::uint32_t>::max()) return std::nullopt;
    name.append(static_cast<std::uint32_t>(ids[i]));
  }
  return name;
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

Error nonsense(const char* what) { return {Error::Kind::nonsense, "decoding an answer", "", what}; }
Error invalid(const char* what) { return {Error::Kind::invalid, "encoding a request", "", what}; }

}  // namespace

struct Codec::State {
  State() {
    quieten_library();
    snmp_sess_init(&session);
  }
  ~State() { std::free(buffer); }
  State(const State&) = delete;
  State& operator=(const State&) = delete;

  // The version is always set: the library then refuses messages of any other, so that no
  // datagram can reach its v3 code through a v2c exchange.
  bool speak_as(const config::Credential& credential) {
    switch (credential.version) {
      case config::SnmpVersion::v1:
        session.version = SNMP_VERSION_1;
        break;
      case config::SnmpVersion::v2c:
        session.version = SNMP_VERSION_2c;
        break;
      case config::SnmpVersion::v3:
        return false;
    }
    session.community = reinterpret_cast<u_char*>(const_cast<char*>(credential.community.data()));  // only read
    session.community_len = credential.community.size();
    return true;
  }

  netsnmp_session session{};
  u_char* buffer = nullptr;  // grown by the library, kept between calls
  std::size_t buffer_length = 0;
};

Codec::Codec() : state_(std::make_unique<State>()) {}
Codec::~Codec() = default;

model::Result<std::string> Codec::encode(const Request& request, const config::Credential& credential,
                                         std::int32_t request_id) {
  auto& state = *state_;
  if (!state.speak_as(credential)) return invalid("SNMPv3 is not spoken yet");
  const bool bulk = request.operation == Operation::get_bulk;
  if (bulk && credential.version == config::SnmpVersion::v1) return invalid("SNMPv1 has no GETBULK");

  const Pdu pdu(snmp_pdu_create(pdu_type(request.operation)));
  if (!pdu) return invalid("out of memory");
  pdu->version = state.session.version;
  pdu->reqid = request_id;
  if (bulk) {
    pdu->errstat = 0;  // non-repeaters
    pdu->errindex = request.max_repetitions;
  }
  oid ids[kMaxOidLength];
  for (const auto& name : request.names) {
    const auto view = name.view();
    if (view.size() < 2 || view.size() > kMaxOidLength) return invalid("an object identifier of unusable length");
    std::copy(view.begin(), view.end(), ids);
    if (snmp_add_null_var(pdu.get(), ids, view.size()) == nullptr) return invalid("out of memory");
  }

  // The library writes backwards from the end of the buffer and grows it when needed.
  std::size_t used = 0;
  if (snmp_build(&state.buffer, &state.buffer_length, &used, &state.session, pdu.get()) < 0) {
    return invalid(snmp_api_errstring(state.session.s_snmp_errno));
  }
  return std::string(reinterpret_cast<const char*>(state.buffer) + state.buffer_length - used, used);
}

model::Result<Response> Codec::decode(std::span<unsigned char> datagram, const config::Credential& credential) {
  auto& state = *state_;
  if (!state.speak_as(credential)) return invalid("SNMPv3 is not spoken yet");
  const Pdu pdu(static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu))));
  if (!pdu) return nonsense("out of memory");
  if (snmp_parse(nullptr, &state.session, pdu.get(), datagram.data(), datagram.size()) != 0) {
    return nonsense("not a well-formed message of the version asked in");
  }
  const std::string_view community(reinterpret_cast<const char*>(pdu->community), pdu->community_len);
  if (pdu->version != state.session.version) return nonsense("another version than asked in");
  if (community != credential.community) return nonsense("another community than asked with");
  if (pdu->command != SNMP_MSG_RESPONSE) return nonsense("not a response");

  Response response;
  response.error_status = static_cast<ErrorStatus>(pdu->errstat);
  response.error_index = static_cast<std::int32_t>(pdu->errindex);
  response.octets = datagram.size();
  std::size_t count = 0;
  for (auto* variable = pdu->variables; variable != nullptr; variable = variable->next_variable) ++count;
  response.variables.reserve(count);
  for (auto* variable = pdu->variables; variable != nullptr; variable = variable->next_variable) {
    auto name = name_of(variable->name, variable->name_length);
    if (!name) return nonsense("an object identifier that no agent may send");
    response.variables.push_back({std::move(*name), value_of(*variable)});
  }
  return response;
}

}  // namespace frisket::snmp
