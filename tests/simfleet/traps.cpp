#include "tests/simfleet/traps.h"

#include <utility>

#include "tests/simfleet/ber.h"

namespace frisket::simfleet {
namespace {

// RFC 1157 section 4.1.6: Trap-PDU is [4] IMPLICIT SEQUENCE.
constexpr std::uint8_t kTrapV1 = 0xA4;
constexpr std::int32_t kEnterpriseSpecific = 6;
// RFC 3805 section 6: printerV1Alert, printerV2Alert, and the columns of prtAlertTable that go with them.
constexpr std::uint32_t kV1Alert[] = {1, 3, 6, 1, 2, 1, 43, 18, 2};
constexpr std::uint32_t kV2Alert[] = {1, 3, 6, 1, 2, 1, 43, 18, 2, 0, 1};
// RFC 3418: sysUpTime.0, snmpTrapOID.0.
constexpr std::uint32_t kSysUpTime[] = {1, 3, 6, 1, 2, 1, 1, 3, 0};
constexpr std::uint32_t kSnmpTrapOid[] = {1, 3, 6, 1, 6, 3, 1, 1, 4, 1, 0};

std::string wrapped(std::uint8_t tag, std::string_view body) {
  std::string out;
  ber::append_octets(out, body, tag);
  return out;
}

std::string variable(OidView name, std::string_view value) {
  std::string body;
  ber::append_oid(body, name);
  return wrapped(ber::sequence, body.append(value));
}

std::string number(std::int64_t value) {
  std::string out;
  ber::append_integer(out, value);
  return out;
}

std::string natural(std::uint32_t value, std::uint8_t tag) {
  std::string out;
  ber::append_unsigned(out, value, tag);
  return out;
}

std::string name_of(OidView oid) {
  std::string out;
  ber::append_oid(out, oid);
  return out;
}

std::string columns(const Device& device, const AlertAdded& alert) {
  const auto& condition = alert.condition;
  const std::pair<std::uint32_t, std::int64_t> cells[] = {
      {1, alert.index},        {2, condition.severity}, {4, condition.subunit.group}, {5, condition.subunit.index},
      {6, condition.location}, {7, condition.code}};
  std::string out;
  for (const auto& [column, value] : cells) {
    const std::uint32_t name[] = {
        1, 3, 6, 1, 2, 1, 43, 18, 1, 1, column, static_cast<std::uint32_t>(device.model().device_index), alert.index};
    out += variable(name, number(value));
  }
  return out;
}

std::string address_octets(std::uint32_t address) {
  std::string out;
  for (int shift = 24; shift >= 0; shift -= 8) out += static_cast<char>(address >> shift & 0xff);
  return out;
}

}  // namespace

std::string alert_trap(Version version, const Device& device, const AlertAdded& alert, std::int32_t request_id) {
  std::string pdu;
  if (version == Version::v1) {
    pdu = wrapped(kTrapV1, name_of(kV1Alert) + wrapped(ber::ip_address, address_octets(device.identity().address)) +
                               number(kEnterpriseSpecific) + number(1) + natural(alert.up_time, ber::time_ticks) +
                               wrapped(ber::sequence, columns(device, alert)));
  } else {
    const auto list = variable(kSysUpTime, natural(alert.up_time, ber::time_ticks)) +
                      variable(kSnmpTrapOid, name_of(kV2Alert)) + columns(device, alert);
    pdu = wrapped(ber::trap_v2, number(request_id) + number(0) + number(0) + wrapped(ber::sequence, list));
  }
  std::string community;
  ber::append_octets(community, device.identity().community);
  return wrapped(ber::sequence, number(static_cast<std::int64_t>(version)) + community + pdu);
}

}  // namespace frisket::simfleet
