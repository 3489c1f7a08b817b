#include "probes/snmp/usm_notification_codec.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <utility>

#include "probes/snmp/notification_pdu.h"
#include "probes/snmp/peek.h"
#include "probes/snmp/usm_codec.h"
#include "probes/snmp/usm_slot.h"

#include <net-snmp/library/lcd_time.h>

namespace frisket::snmp {
namespace {

using config::Authentication;
using config::Privacy;
using model::Error;

// Engines whose time is remembered. Only who has a password gets in; more is a fleet of 20,000.
constexpr std::size_t kMostEngines = 20000;

Error failure(Error::Kind kind, const char* what) { return {kind, "decoding a notification", "", what}; }
Error nonsense(const char* what) { return failure(Error::Kind::nonsense, what); }

// By name and security level: a user is never taken at a lower level than he is configured with.
const config::User* meant(const PeekUsm& header, std::span<const config::Credential> users) {
  const auto fits = [&](const config::Credential& credential) {
    const auto& user = credential.user;
    return credential.version == config::SnmpVersion::v3 && user.name == header.user &&
           header.authenticated == (user.authentication != Authentication::none) &&
           header.encrypted == (user.privacy != Privacy::none);
  };
  const auto found = std::ranges::find_if(users, fits);
  return found == users.end() ? nullptr : &found->user;
}

Error refusal(int library_error) {
  switch (library_error) {
    case SNMPERR_USM_UNKNOWNSECURITYNAME:
    case SNMPERR_USM_UNSUPPORTEDSECURITYLEVEL:
      return failure(Error::Kind::unknown_user, "of a user that is not configured for its sender");
    case SNMPERR_USM_AUTHENTICATIONFAILURE:
    case SNMPERR_USM_NOTINTIMEWINDOW:
      return failure(Error::Kind::wrong_key, "its sender does not prove who he is");
    default:
      return nonsense("not a well-formed message");
  }
}

}  // namespace

struct UsmNotificationCodec::State {
  explicit State(LocalEngine engine) : own(std::move(engine)) {
    start_usm();
    set_exact_engineID(reinterpret_cast<const u_char*>(own.id.data()), own.id.size());
    // The library adds the start that it takes this for. Its engine time is the machine's: it only
    // ever grows, and that is all that counts.
    auto before = std::to_string(own.boots - 1);
    engineBoots_conf("engineBoots", before.data());
  }

  // What the library's table says of our engine goes into reports.
  void be_authoritative(netsnmp_session& session) {
    session.isAuthoritative = SNMP_SESS_AUTHORITATIVE;
    set_enginetime(reinterpret_cast<const u_char*>(own.id.data()), static_cast<u_int>(own.id.size()),
                   static_cast<u_int>(snmpv3_local_snmpEngineBoots()),
                   static_cast<u_int>(snmpv3_local_snmpEngineTime()), TRUE);
  }

  std::string build(netsnmp_session& session, netsnmp_pdu& pdu) {
    return builder.build(session, pdu).value_or(std::string());
  }

  // What RFC 3414 section 3.2 has the receiver tell the sender; empty where there is nothing to tell.
  std::string report(netsnmp_session& session, netsnmp_pdu& pdu, int library_error) {
    if (snmpv3_make_report(&pdu, library_error) != 0) return {};
    // An empty name has to be there, or the library takes it for forgotten.
    if (pdu.securityName == nullptr) pdu.securityName = static_cast<char*>(std::calloc(1, 1));
    return build(session, pdu);
  }

  // What is known of the sender's engine with this user's keys.
  UsmEngine engine_of(const PeekUsm& header, const config::User& user, model::SteadyTime now) {
    UsmAnswer from;
    from.engine_id = header.engine_id;
    from.boots = header.boots;
    from.time = header.time;
    auto engine = keys.meet(user, from, now);
    const auto known = engines.find(engine.id);
    if (known == engines.end()) return engine;
    engine.boots = known->second.boots;
    engine.time = known->second.time;
    engine.received = known->second.received;
    engine.authentic = true;
    return engine;
  }

  void remember(const PeekUsm& header, model::SteadyTime now) {
    if (!header.authenticated) return;
    if (engines.size() >= kMostEngines) engines.clear();
    engines[std::string(header.engine_id)] = {header.boots, header.time, now};
  }

  struct Heard {
    std::uint32_t boots = 0;
    std::uint32_t time = 0;
    model::SteadyTime received;
  };

  LocalEngine own;
  UsmCodec keys;  // for the keys it derives and keeps
  std::map<std::string, Heard> engines;
  MessageBuilder builder;
};

UsmNotificationCodec::UsmNotificationCodec(LocalEngine own) : state_(std::make_unique<State>(std::move(own))) {}
UsmNotificationCodec::~UsmNotificationCodec() = default;

model::Result<UsmNotificationCodec::Received> UsmNotificationCodec::decode(std::span<unsigned char> datagram,
                                                                           std::span<const config::Credential> users,
                                                                           model::SteadyTime now) {
  auto& state = *state_;
  const auto outline = peek(datagram);
  if (!outline || outline->version != 3) return nonsense("not a message of SNMPv3");
  const auto& header = outline->usm;
  if (header.engine_id.size() > kLongestEngineId) return nonsense("an engine id that is too long");
  if (header.encrypted && !header.authenticated) return nonsense("encrypted without a digest");
  const bool to_us = header.engine_id.empty() || header.engine_id == state.own.id;
  const auto* user = meant(header, users);
  if (user == nullptr && !to_us) return failure(Error::Kind::unknown_user, "of a user that is not configured");

  const std::string name(header.user);
  const std::string engine_id(header.engine_id);
  UsmEngine engine;
  UsmIdentity identity;
  identity.engine_id = &engine_id;
  // Without a user the library is told of one that nobody is: it then says what is wrong.
  static const std::string kNobody;
  identity.user = user != nullptr ? &name : &kNobody;
  if (user != nullptr && !engine_id.empty()) {
    engine = state.engine_of(header, *user, now);  // of our own only the keys count
    identity.authentication = user->authentication;
    identity.privacy = user->privacy;
    identity.keys = &engine.keys;
    identity.boots = engine.boots;
    identity.time = time_at(engine, now);
    identity.authentic = engine.authentic;
  }
  UsmSlot slot(identity);
  if (to_us) state.be_authoritative(slot.session());
  const Pdu pdu(static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu))));
  if (!pdu) return nonsense("out of memory");
  Received received;
  if (snmp_parse(nullptr, &slot.session(), pdu.get(), datagram.data(), datagram.size()) != 0) {
    const int why = slot.session().s_snmp_errno;
    if (to_us && header.reportable) received.answer = state.report(slot.session(), *pdu, why);
    if (received.answer.empty()) return refusal(why);
    return received;
  }
  received.notification = notification_from(*pdu);
  if (!received.notification) return nonsense("not a notification as RFC 3416 has it");
  const bool inform = received.notification->form == Notification::Form::inform;
  if (user == nullptr || inform != to_us) return nonsense("a notification of an engine that cannot send it");
  if (security_level(user->authentication, user->privacy) != pdu->securityLevel)
    return refusal(SNMPERR_USM_UNSUPPORTEDSECURITYLEVEL);
  received.notification->user = name;
  if (!inform) {
    state.remember(header, now);
    return received;
  }
  turn_into_response(*pdu);
  received.answer = state.build(slot.session(), *pdu);
  if (received.answer.empty()) return nonsense("an inform that cannot be answered");
  return received;
}

}  // namespace frisket::snmp
