#include "probes/snmp/codec.h"

#include <algorithm>
#include <cstdlib>
#include <utility>

#include "probes/snmp/net_snmp.h"

namespace frisket::snmp {
namespace {

using model::Error;

Error nonsense(const char* what) { return {Error::Kind::nonsense, "decoding an answer", "", what}; }
Error invalid(const char* what) { return {Error::Kind::invalid, "encoding a request", "", what}; }

}  // namespace

struct Codec::State {
  State() {
    quieten_library();
    snmp_sess_init(&session);
  }

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
  MessageBuilder builder;
};

Codec::Codec() : state_(std::make_unique<State>()) {}
Codec::~Codec() = default;

model::Result<std::string> Codec::encode(const Request& request, const config::Credential& credential,
                                         std::int32_t request_id) {
  auto& state = *state_;
  if (!state.speak_as(credential)) return invalid("not a version with communities");
  const bool bulk = request.operation == Operation::get_bulk;
  if (bulk && credential.version == config::SnmpVersion::v1) return invalid("SNMPv1 has no GETBULK");

  const Pdu pdu(request_pdu(request));
  if (!pdu) return invalid("an object identifier of unusable length");
  pdu->version = state.session.version;
  pdu->reqid = request_id;

  auto message = state.builder.build(state.session, *pdu);
  if (!message) return invalid(snmp_api_errstring(state.session.s_snmp_errno));
  return std::move(*message);
}

model::Result<Response> Codec::decode(std::span<unsigned char> datagram, const config::Credential& credential) {
  auto& state = *state_;
  if (!state.speak_as(credential)) return invalid("not a version with communities");
  const Pdu pdu(static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu))));
  if (!pdu) return nonsense("out of memory");
  if (snmp_parse(nullptr, &state.session, pdu.get(), datagram.data(), datagram.size()) != 0) {
    return nonsense("not a well-formed message of the version asked in");
  }
  const std::string_view community(reinterpret_cast<const char*>(pdu->community), pdu->community_len);
  if (pdu->version != state.session.version) return nonsense("another version than asked in");
  if (community != credential.community) return nonsense("another community than asked with");
  if (pdu->command != SNMP_MSG_RESPONSE) return nonsense("not a response");

  auto response = response_from(*pdu);
  if (!response) return nonsense("an object identifier that no agent may send");
  response->octets = datagram.size();
  return std::move(*response);
}

}  // namespace frisket::snmp
