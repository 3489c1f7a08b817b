#include "probes/snmp/usm_codec.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <map>
#include <optional>
#include <string_view>
#include <utility>

#include "probes/snmp/peek.h"
#include "probes/snmp/usm_slot.h"

namespace frisket::snmp {
namespace {

using config::Authentication;
using config::Privacy;
using model::Error;

// usmStats (RFC 3414 section 5) and snmpUnknownContexts (RFC 3413 section 4.1.2).
constexpr std::array<std::uint32_t, 9> kUsmStats{1, 3, 6, 1, 6, 3, 15, 1, 1};
constexpr std::array<std::uint32_t, 9> kUnknownContexts{1, 3, 6, 1, 6, 3, 12, 1, 5};

// Master keys kept: one for each password of the configuration. More than that is reloads piling up.
constexpr std::size_t kMostMasterKeys = 256;

Error nonsense(const char* what) { return {Error::Kind::nonsense, "decoding an answer", "", what}; }
Error invalid(const char* what) { return {Error::Kind::invalid, "encoding a request", "", what}; }

UsmReport report_of(OidView counter) {
  if (starts_with(counter, kUnknownContexts)) return UsmReport::unknown_context;
  if (!starts_with(counter, kUsmStats) || counter.size() <= kUsmStats.size()) return UsmReport::other;
  switch (counter[kUsmStats.size()]) {
    case 1:
      return UsmReport::unsupported_security_level;
    case 2:
      return UsmReport::not_in_time_window;
    case 3:
      return UsmReport::unknown_user_name;
    case 4:
      return UsmReport::unknown_engine_id;
    case 5:
      return UsmReport::wrong_digest;
    case 6:
      return UsmReport::decryption_error;
    default:
      return UsmReport::other;
  }
}

// The one place that decides whose keys a message is taken apart with.
std::optional<Error> unfit(const PeekUsm& header, const config::User& user, const UsmEngine* engine) {
  if (header.engine_id.empty() || header.engine_id.size() > kLongestEngineId) return nonsense("no engine id");
  if (!header.authenticated) {
    if (header.encrypted) return nonsense("encrypted without a digest");
    if (!header.user.empty() && header.user != user.name) return nonsense("for another user");
    return std::nullopt;
  }
  if (user.authentication == Authentication::none || engine == nullptr)
    return nonsense("a digest that nobody asked for");
  if (header.encrypted && user.privacy == Privacy::none) return nonsense("encrypted, though nobody asked for it");
  if (header.user != user.name) return nonsense("for another user");
  if (header.engine_id != engine->id) return nonsense("from another engine");
  return std::nullopt;
}

UsmIdentity identity_of(const config::User& user, const UsmEngine& engine, model::SteadyTime now) {
  UsmIdentity identity;
  identity.engine_id = &engine.id;
  identity.user = &user.name;
  identity.authentication = user.authentication;
  identity.privacy = user.privacy;
  identity.keys = &engine.keys;
  identity.boots = engine.boots;
  identity.time = time_at(engine, now);
  identity.authentic = engine.authentic;
  return identity;
}

}  // namespace

struct UsmCodec::State {
  State() { start_usm(); }

  const std::string& master_key(Authentication authentication, const std::string& password) {
    if (master_keys.size() >= kMostMasterKeys) master_keys.clear();
    const auto [place, is_new] = master_keys.try_emplace({authentication, password});
    if (is_new) place->second = snmp::master_key(authentication, password);
    return place->second;
  }

  model::Result<std::string> build(netsnmp_session& session, netsnmp_pdu& pdu) {
    auto message = builder.build(session, pdu);
    if (!message) return invalid(snmp_api_errstring(session.s_snmp_errno));
    return std::move(*message);
  }

  std::map<std::pair<Authentication, std::string>, std::string> master_keys;
  MessageBuilder builder;
};

UsmCodec::UsmCodec() : state_(std::make_unique<State>()) {}
UsmCodec::~UsmCodec() = default;

model::Result<std::string> UsmCodec::encode_discovery(std::int32_t request_id) {
  const std::string nobody;
  UsmIdentity identity;
  identity.engine_id = identity.user = &nobody;
  UsmSlot slot(identity);
  const Pdu pdu(snmp_pdu_create(SNMP_MSG_GET));
  if (!pdu) return invalid("out of memory");
  pdu->version = SNMP_VERSION_3;
  pdu->reqid = pdu->msgid = request_id;
  // An empty name has to be there, or the library takes it for forgotten.
  pdu->securityName = static_cast<char*>(std::calloc(1, 1));
  pdu->securityNameLen = 0;
  return state_->build(slot.session(), *pdu);
}

UsmEngine UsmCodec::meet(const config::User& user, const UsmAnswer& answer, model::SteadyTime now) {
  UsmEngine engine;
  engine.id = answer.engine_id;
  engine.boots = answer.boots;
  engine.time = answer.time;
  engine.received = now;
  if (user.authentication == Authentication::none) return engine;
  const auto localized = [&](const std::string& password) {
    return localized_key(user.authentication, state_->master_key(user.authentication, password), engine.id);
  };
  engine.keys.authentication = localized(user.authentication_password);
  if (user.privacy == Privacy::none) return engine;
  engine.keys.privacy = privacy_key(user.authentication, user.privacy, localized(user.privacy_password), engine.id);
  return engine;
}

model::Result<std::string> UsmCodec::encode(const Request& request, const config::User& user, const UsmEngine& engine,
                                            std::int32_t request_id, model::SteadyTime now) {
  const Pdu pdu(request_pdu(request));
  if (!pdu) return invalid("an object identifier of unusable length");
  pdu->version = SNMP_VERSION_3;
  pdu->reqid = pdu->msgid = request_id;
  UsmSlot slot(identity_of(user, engine, now));
  slot.session().contextName = const_cast<char*>(user.context.c_str());  // only read
  slot.session().contextNameLen = user.context.size();
  return state_->build(slot.session(), *pdu);
}

model::Result<UsmAnswer> UsmCodec::decode(std::span<unsigned char> datagram, const config::User& user, UsmPeer& peer,
                                          model::SteadyTime now) {
  const auto outline = peek(datagram);
  if (!outline || outline->version != 3) return nonsense("not a message of SNMPv3");
  const auto header = outline->usm;
  const auto* engine = peer.engine();
  if (auto reason = unfit(header, user, engine)) return std::move(*reason);

  UsmAnswer answer;
  answer.engine_id = header.engine_id;
  answer.boots = header.boots;
  answer.time = header.time;
  const std::string name(header.user);
  UsmIdentity identity;
  if (header.authenticated) {
    identity = identity_of(user, *engine, now);
  } else {
    identity.engine_id = &answer.engine_id;
    identity.user = &name;
  }
  UsmSlot slot(identity);
  const Pdu pdu(static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu))));
  if (!pdu) return nonsense("out of memory");
  if (snmp_parse(nullptr, &slot.session(), pdu.get(), datagram.data(), datagram.size()) != 0) {
    if (slot.session().s_snmp_errno == SNMPERR_USM_AUTHENTICATIONFAILURE) return nonsense("a wrong digest");
    if (slot.session().s_snmp_errno != SNMPERR_USM_NOTINTIMEWINDOW) return nonsense("not a well-formed message");
    answer.authentic = true;
    answer.content = UsmReport::outdated;
    return answer;
  }
  answer.authentic = header.authenticated;
  if (answer.authentic) peer.heard(header.boots, header.time, now);

  auto response = response_from(*pdu);
  if (!response) return nonsense("an object identifier that no agent may send");
  response->octets = datagram.size();
  if (pdu->command == SNMP_MSG_REPORT) {
    const auto& variables = response->variables;
    answer.content = variables.empty() ? UsmReport::other : report_of(variables.front().name);
    return answer;
  }
  if (pdu->command != SNMP_MSG_RESPONSE) return nonsense("not a response");
  // RFC 3412 section 7.2.12: the level, the engine, the user and the context asked with.
  const bool as_asked = security_level(user.authentication, user.privacy) == pdu->securityLevel && engine != nullptr &&
                        engine->id == answer.engine_id && name == user.name &&
                        std::string_view(pdu->contextName, pdu->contextNameLen) == user.context &&
                        pdu->reqid == outline->request_id;
  if (!as_asked) return nonsense("a response to something else");
  answer.content = std::move(*response);
  return answer;
}

}  // namespace frisket::snmp
