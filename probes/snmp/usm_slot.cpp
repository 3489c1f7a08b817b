#include "probes/snmp/usm_slot.h"

#include <array>
#include <cstdlib>
#include <string_view>

#include <net-snmp/library/keytools.h>
#include <net-snmp/library/lcd_time.h>
#include <net-snmp/library/snmpusm.h>

namespace frisket::snmp {
namespace {

using config::Authentication;
using config::Privacy;

// The library has its own copies; these are only here to be pointed at without a cast.
struct Protocol {
  oid* id = nullptr;
  std::size_t length = 0;
};

int number_of(Authentication authentication) {
  switch (authentication) {
    case Authentication::none:
      return NETSNMP_USMAUTH_NOAUTH;
    case Authentication::md5:
      return NETSNMP_USMAUTH_HMACMD5;
    case Authentication::sha:
      return NETSNMP_USMAUTH_HMACSHA1;
    case Authentication::sha_224:
      return NETSNMP_USMAUTH_HMAC128SHA224;
    case Authentication::sha_256:
      return NETSNMP_USMAUTH_HMAC192SHA256;
    case Authentication::sha_384:
      return NETSNMP_USMAUTH_HMAC256SHA384;
    case Authentication::sha_512:
      return NETSNMP_USMAUTH_HMAC384SHA512;
  }
  return NETSNMP_USMAUTH_NOAUTH;
}

int number_of(Privacy privacy) {
  switch (privacy) {
    case Privacy::none:
      return USM_CREATE_USER_PRIV_NONE;
    case Privacy::des:
      return USM_CREATE_USER_PRIV_DES;
    case Privacy::aes_128:
      return USM_CREATE_USER_PRIV_AES;
    case Privacy::aes_192:
      return USM_CREATE_USER_PRIV_AES192;
    case Privacy::aes_256:
      return USM_CREATE_USER_PRIV_AES256;
  }
  return USM_CREATE_USER_PRIV_NONE;
}

Protocol protocol(Authentication authentication) {
  Protocol found;
  found.id = sc_get_auth_oid(number_of(authentication), &found.length);
  return found;
}

Protocol protocol(Privacy privacy) {
  if (privacy == Privacy::none) return {usmNoPrivProtocol, USM_PRIV_PROTO_NOPRIV_LEN};
  Protocol found;
  found.id = sc_get_priv_oid(number_of(privacy), &found.length);
  return found;
}

// Octets of a privacy key: DES takes 8 of key and 8 for the initialization vector.
std::size_t key_length(Privacy privacy) {
  switch (privacy) {
    case Privacy::none:
      return 0;
    case Privacy::des:
    case Privacy::aes_128:
      return 16;
    case Privacy::aes_192:
      return 24;
    case Privacy::aes_256:
      return 32;
  }
  return 0;
}

// The library wants pointers that it might write through, and does not.
u_char* octets(const std::string& text) { return reinterpret_cast<u_char*>(const_cast<char*>(text.data())); }
char* characters(const std::string& text) { return const_cast<char*>(text.c_str()); }

// What our own engine would be called in the library's eyes (RFC 5612: an enterprise for examples;
// text). Without any id of its own it takes no authenticated message at all.
constexpr std::string_view kLocalEngineId{"\x80\x00\x7e\xd9\x04none", 9};

}  // namespace

void start_usm() {
  quieten_library();
  if (find_sec_mod(SNMP_SEC_MODEL_USM) != nullptr) return;
  // It registers words of configuration files under this name; none is ever read.
  netsnmp_ds_set_string(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_APPTYPE, "frisket");
  init_usm();
  // Draws the salts' first values, which must not be those of the last run (RFC 3826 section 3.1.2.1).
  snmp_call_callbacks(SNMP_CALLBACK_LIBRARY, SNMP_CALLBACK_POST_PREMIB_READ_CONFIG, nullptr);
  set_exact_engineID(reinterpret_cast<const u_char*>(kLocalEngineId.data()), kLocalEngineId.size());
}

int security_level(Authentication authentication, Privacy privacy) {
  if (authentication == Authentication::none) return SNMP_SEC_LEVEL_NOAUTH;
  return privacy == Privacy::none ? SNMP_SEC_LEVEL_AUTHNOPRIV : SNMP_SEC_LEVEL_AUTHPRIV;
}

UsmSlot::UsmSlot(const UsmIdentity& identity) {
  static const UsmKeys kNoKeys;
  static const std::string kNoContext;
  const auto& keys = identity.keys != nullptr ? *identity.keys : kNoKeys;
  const auto& engine_id = *identity.engine_id;
  const auto authentication = protocol(identity.authentication);
  const auto privacy = protocol(identity.privacy);
  user_.engineID = octets(engine_id);
  user_.engineIDLen = engine_id.size();
  user_.name = user_.secName = characters(*identity.user);
  user_.authProtocol = authentication.id;
  user_.authProtocolLen = authentication.length;
  user_.authKey = octets(keys.authentication);
  user_.authKeyLen = keys.authentication.size();
  user_.privProtocol = privacy.id;
  user_.privProtocolLen = privacy.length;
  user_.privKey = octets(keys.privacy);
  user_.privKeyLen = keys.privacy.size();
  user_.userStatus = 1;  // active (RFC 2579 RowStatus)

  snmp_sess_init(&session_);
  session_.version = SNMP_VERSION_3;
  session_.isAuthoritative = SNMP_SESS_NONAUTHORITATIVE;
  session_.securityModel = SNMP_SEC_MODEL_USM;
  session_.securityLevel = security_level(identity.authentication, identity.privacy);
  session_.securityName = user_.name;
  session_.securityNameLen = identity.user->size();
  session_.securityEngineID = session_.contextEngineID = engine_id.empty() ? nullptr : octets(engine_id);
  session_.securityEngineIDLen = session_.contextEngineIDLen = engine_id.size();

  session_.contextName = characters(kNoContext);

  usm_add_user(&user_);
  if (!engine_id.empty()) {
    set_enginetime(octets(engine_id), static_cast<u_int>(engine_id.size()), identity.boots, identity.time,
                   identity.authentic ? TRUE : FALSE);
  }
}

UsmSlot::~UsmSlot() {
  usm_remove_user(&user_);
  free_etimelist();  // also of whatever engine the message said it was from
}

std::string master_key(Authentication authentication, const std::string& password) {
  const auto hash = protocol(authentication);
  std::array<u_char, USM_MAX_AUTHSIZE + 16> key{};
  std::size_t length = key.size();
  const int failed =
      generate_Ku(hash.id, static_cast<u_int>(hash.length), octets(password), password.size(), key.data(), &length);
  if (failed != SNMPERR_SUCCESS) return {};
  return {reinterpret_cast<const char*>(key.data()), length};
}

std::string localized_key(Authentication authentication, const std::string& master_key, const std::string& engine_id) {
  const auto hash = protocol(authentication);
  std::array<u_char, USM_MAX_AUTHSIZE + 16> key{};
  std::size_t length = key.size();
  const int failed = generate_kul(hash.id, static_cast<u_int>(hash.length), octets(engine_id), engine_id.size(),
                                  octets(master_key), master_key.size(), key.data(), &length);
  if (failed != SNMPERR_SUCCESS) return {};
  return {reinterpret_cast<const char*>(key.data()), length};
}

std::string privacy_key(Authentication authentication, Privacy privacy, std::string localized,
                        const std::string& engine_id) {
  const auto wanted = key_length(privacy);
  if (localized.size() < wanted) {
    const auto hash = protocol(authentication);
    // The library may free what it is handed and put another in its place.
    auto* key = static_cast<u_char*>(std::malloc(localized.size()));
    if (key == nullptr) return {};
    std::copy(localized.begin(), localized.end(), key);
    std::size_t length = localized.size();
    netsnmp_extend_kul(static_cast<u_int>(wanted), hash.id, static_cast<u_int>(hash.length), number_of(privacy),
                       octets(engine_id), static_cast<u_int>(engine_id.size()), &key, &length,
                       static_cast<u_int>(localized.size()));
    localized.assign(reinterpret_cast<const char*>(key), length);
    std::free(key);
  }
  if (localized.size() < wanted) return {};
  localized.resize(wanted);
  return localized;
}

}  // namespace frisket::snmp
