#include "probes/snmp/notification_codec.h"

#include <cstdlib>
#include <optional>
#include <utility>

#include "probes/snmp/notification_pdu.h"

namespace frisket::snmp {
namespace {

using model::Error;

Error nonsense(const char* what) { return {Error::Kind::nonsense, "decoding a notification", "", what}; }

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

}  // namespace

struct NotificationCodec::State {
  State() {
    quieten_library();
    snmp_sess_init(&session);
  }

  // Turns an inform into the Response to it.
  std::optional<std::string> acknowledge(netsnmp_pdu& pdu) {
    turn_into_response(pdu);
    return builder.build(session, pdu);
  }

  netsnmp_session session{};
  MessageBuilder builder;
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

  auto notification = notification_from(*pdu);
  if (!notification) return nonsense("not a notification as its RFC has it");
  Received received{std::move(*notification), {}};
  received.notification.community.assign(reinterpret_cast<const char*>(pdu->community), pdu->community_len);
  if (received.notification.form != Notification::Form::inform) return received;
  auto answer = state.acknowledge(*pdu);
  if (!answer) return nonsense("an inform that cannot be answered");
  received.answer = std::move(*answer);
  return received;
}

}  // namespace frisket::snmp
