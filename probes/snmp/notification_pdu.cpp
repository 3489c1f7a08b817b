#include "probes/snmp/notification_pdu.h"

#include <algorithm>
#include <array>
#include <utility>

namespace frisket::snmp {
namespace {

// RFC 3418: sysUpTime.0, snmpTrapOID.0 and snmpTraps.
constexpr std::array<std::uint32_t, 9> kSysUpTime{1, 3, 6, 1, 2, 1, 1, 3, 0};
constexpr std::array<std::uint32_t, 11> kSnmpTrapOid{1, 3, 6, 1, 6, 3, 1, 1, 4, 1, 0};
constexpr std::array<std::uint32_t, 9> kSnmpTraps{1, 3, 6, 1, 6, 3, 1, 1, 5};

// RFC 1157 section 4.1.6.
constexpr long kEnterpriseSpecific = 6;

bool equal(OidView a, OidView b) { return std::ranges::equal(a, b); }

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

bool take_trap_v1(const netsnmp_pdu& pdu, Notification& notification) {
  auto name = name_of_trap(pdu);
  if (!name) return false;
  notification.form = Notification::Form::trap_v1;
  notification.name = std::move(*name);
  notification.up_time = {static_cast<std::uint32_t>(pdu.time)};
  std::copy_n(pdu.agent_addr, notification.agent_address.size(), notification.agent_address.begin());
  return true;
}

}  // namespace

std::optional<Notification> notification_from(const netsnmp_pdu& pdu) {
  const bool v1 = pdu.command == SNMP_MSG_TRAP;
  const bool inform = pdu.command == SNMP_MSG_INFORM;
  if (!v1 && !inform && pdu.command != SNMP_MSG_TRAP2) return std::nullopt;
  // RFC 3584 section 3: a version has its own PDUs and no others.
  if (v1 != (pdu.version == SNMP_VERSION_1)) return std::nullopt;
  Notification notification;
  if (!take_variables(pdu, notification.variables)) return std::nullopt;
  if (v1) {
    if (!take_trap_v1(pdu, notification)) return std::nullopt;
    return notification;
  }
  notification.form = inform ? Notification::Form::inform : Notification::Form::trap_v2;
  notification.request_id = static_cast<std::int32_t>(pdu.reqid);
  if (!take_head(notification)) return std::nullopt;
  return notification;
}

void turn_into_response(netsnmp_pdu& pdu) {
  pdu.command = SNMP_MSG_RESPONSE;
  pdu.flags &= ~static_cast<u_long>(UCD_MSG_FLAG_EXPECT_RESPONSE);
  pdu.errstat = SNMP_ERR_NOERROR;
  pdu.errindex = 0;
}

}  // namespace frisket::snmp
