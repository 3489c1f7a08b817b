#include "probes/snmp/notification_codec.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <utility>

#include "probes/snmp/net_snmp.h"

namespace frisket::snmp {
namespace {

using model::Error;

// RFC 3418: sysUpTime.0, snmpTrapOID.0 and snmpTraps.
constexpr std::array<std::uint32_t, 9> kSysUpTime{1, 3, 6, 1, 2, 1, 1, 3, 0};
constexpr std::array<std::uint32_t, 11> kSnmpTrapOid{1, 3, 6, 1, 6, 3, 1, 1, 4, 1, 0};
constexpr std::array<std::uint32_t, 9> kSnmpTraps{1, 3, 6, 1, 6, 3, 1, 1, 5};

// RFC 1157 section 4.1.6.
constexpr long kEnterpriseSpecific = 6;

Error nonsense(const char* what) { return {Error::Kind::nonsense, "decoding a notification", "", what}; }

bool equal(OidView a, OidView b) { return std::ranges::equal(a, b); }

// The version on the wire, found by the library's own reader; nothing if there is none.
std::optional<long> version_of(std::span<unsigned char> datagram) {
  std::size_t left = datagram.size();
  u_char type = 0;
  u_char* rest = asn_parse_sequence(datagram.data(), &left, &type, ASN_SEQUENCE | ASN_CONSTRUCTOR, "message");
  if (rest == nullptr) return std::nullopt;
  long version = 0;
  if (asn_parse_int(rest, &left, &type, &version, sizeof version) == nullptr) return std::nullopt;
  return version;
}

// RFC 3584 section 3.1, (2): the name that a Trap-PDU would have had as an SNMPv2-Trap-PDU.
std::optional<Oid> name_of_trap(const netsnmp_pdu& pdu) {
  if (pdu.trap_type < 0 || pdu.trap_type > kEnterpriseSpecific) return std::nullopt;
  if (pdu.trap_type != kEnterpriseSpecific) {
    Oid name{OidView(kSnmpTraps)};
    name.append(static_cast<std::uint32_t>(pdu.trap_type) + 1);
    return name;
  }
  auto name = name_of(pdu.enterprise, pdu.enterprise_length);
  if (!name || name->size() + 2 > kMaxOidLength || pdu.specific_type < 0) return std::nullopt;
  name->append(0).append(static_cast<std::uint32_t>(pdu.specific_type));
  return name;
}

bool take_variables(const netsnmp_pdu& pdu, std::vector<VarBind>& into) {
  for (const auto* variable = pdu.variables; variable != nullptr; variable = variable->next_variable) {
    auto name = name_of(variable->name, variable->name_length);
    if (!name) return false;
    into.push_back({std::move(*name), value_of(*variable)});
  }
  return true;
}

// RFC 3416 section 4.2.6: the first two variables are sysUpTime.0 and snmpTrapOID.0.
bool take_head(Notification& notification) {
  auto& variables = notification.variables;
  if (variables.size() < 2) return false;
  const auto* up_time = std::get_if<TimeTicks>(&variables[0].value);
  auto* name = std::get_if<Oid>(&variables[1].value);
  if (!equal(variables[0].name, kSysUpTime) || up_time == nullptr) return false;
  if (!equal(variables[1].name, kSnmpTrapOid) || name == nullptr) return false;
  notification.up_time = *up_time;
  notification.name = std::move(*name);
  variables.erase(variables.begin(), variables.begin() + 2);
  return true;
}

}  // namespace

struct NotificationCodec::State {
  State() {
    quieten_library();
    snmp_sess_init(&session);
  }
  ~State() { std::free(buffer); }
  State(const State&) = delete;
  State& operator=(const State&) = delete;

  bool take_trap_v1(const netsnmp_pdu& pdu, Notification& notification) const {
    auto name = name_of_trap(pdu);
    if (session.version != SNMP_VERSION_1 || !name) return false;
    notification.form = Notification::Form::trap_v1;
    notification.name = std::move(*name);
    notification.up_time = {static_cast<std::uint32_t>(pdu.time)};
    std::copy_n(pdu.agent_addr, notification.agent_address.size(), notification.agent_address.begin());
    return true;
  }

  bool take_trap_v2(const netsnmp_pdu& pdu, Notification& notification) const {
    if (session.version != SNMP_VERSION_2c) return false;
    const bool inform = pdu.command == SNMP_MSG_INFORM;
    notification.form = inform ? Notification::Form::inform : Notification::Form::trap_v2;
    notification.request_id = static_cast<std::int32_t>(pdu.reqid);
    return take_head(notification);
  }

  // Turns an inform into the Response to it.
  std::optional<std::string> acknowledge(netsnmp_pdu& pdu) {
    pdu.command = SNMP_MSG_RESPONSE;
    pdu.flags &= ~static_cast<u_long>(UCD_MSG_FLAG_EXPECT_RESPONSE);
    pdu.errstat = SNMP_ERR_NOERROR;
    pdu.errindex = 0;
    std::size_t used = 0;
    if (snmp_build(&buffer, &buffer_length, &used, &session, &pdu) < 0) return std::nullopt;
    return std::string(reinterpret_cast<const char*>(buffer) + buffer_length - used, used);
  }

  netsnmp_session session{};
  u_char* buffer = nullptr;  // grown by the library, kept between calls
  std::size_t buffer_length = 0;
};

NotificationCodec::NotificationCodec() : state_(std::make_unique<State>()) {}
NotificationCodec::~NotificationCodec() = default;

model::Result<NotificationCodec::Received> NotificationCodec::decode(std::span<unsigned char> datagram) {
  auto& state = *state_;
  // The version is always set: the library then refuses messages of any other, so that no
  // datagram can reach its v3 code from here.
  const auto version = version_of(datagram);
  if (version != SNMP_VERSION_1 && version != SNMP_VERSION_2c) return nonsense("not a message of SNMPv1 or v2c");
  state.session.version = *version;
  const Pdu pdu(static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu))));
  if (!pdu) return nonsense("out of memory");
  if (snmp_parse(nullptr, &state.session, pdu.get(), datagram.data(), datagram.size()) != 0)
    return nonsense("not a well-formed message");
  if (pdu->version != state.session.version) return nonsense("not a message of the version that it begins with");

  Received received;
  auto& notification = received.notification;
  notification.community.assign(reinterpret_cast<const char*>(pdu->community), pdu->community_len);
  if (!take_variables(*pdu, notification.variables)) return nonsense("an object identifier that no agent may send");
  switch (pdu->command) {
    case SNMP_MSG_TRAP:
      if (!state.take_trap_v1(*pdu, notification)) return nonsense("not a well-formed Trap-PDU");
      return received;
    case SNMP_MSG_TRAP2:
    case SNMP_MSG_INFORM:
      if (!state.take_trap_v2(*pdu, notification)) return nonsense("not a notification as RFC 3416 has it");
      break;
    default:
      return nonsense("not a notification");
  }
  if (notification.form != Notification::Form::inform) return received;
  auto answer = state.acknowledge(*pdu);
  if (!answer) return nonsense("an inform that cannot be answered");
  received.answer = std::move(*answer);
  return received;
}

}  // namespace frisket::snmp
