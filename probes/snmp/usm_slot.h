// The one user that net-snmp is told of, for as long as it takes to build or take apart one message.
//
// The library keeps its users in a list and its engines' times in a table of 23 buckets: with
// an entry for each device every message would cost more the larger the fleet. So there is one
// entry, pointed in turn at whichever device a message is for, and none in between. Includes
// net-snmp: only usm_codec.cpp and usm_notification_codec.cpp may include this.
#pragma once

#include <string>

#include "config/config.h"
#include "probes/snmp/net_snmp.h"
#include "probes/snmp/usm.h"

namespace frisket::snmp {

// Whom a message is from or for. What it points at must stay while the slot is in use.
struct UsmIdentity {
  const std::string* engine_id = nullptr;  // may be empty: discovery
  const std::string* user = nullptr;
  config::Authentication authentication = config::Authentication::none;
  config::Privacy privacy = config::Privacy::none;
  const UsmKeys* keys = nullptr;  // null: none needed
  std::uint32_t boots = 0;
  std::uint32_t time = 0;  // at present
  bool authentic = false;  // false: boots and time are a guess, which any authentic message overrides
};

// Sets up the library's security model (once per process, whoever calls), with a random start for
// the salts of privacy.
void start_usm();

// In the list from construction to destruction. One at a time.
class UsmSlot {
 public:
  explicit UsmSlot(const UsmIdentity& identity);
  ~UsmSlot();
  UsmSlot(const UsmSlot&) = delete;
  UsmSlot& operator=(const UsmSlot&) = delete;

  // A session for snmp_build() and snmp_parse() as this identity; valid as long as the slot. Its
  // s_snmp_errno says why snmp_parse() failed.
  netsnmp_session& session() { return session_; }

 private:
  usmUser user_{};
  netsnmp_session session_{};
};

// SNMP_SEC_LEVEL_NOAUTH, _AUTHNOPRIV or _AUTHPRIV.
int security_level(config::Authentication authentication, config::Privacy privacy);

// 3 ms of work on purpose (RFC 3414 section 11.2): keep it. Empty when the library cannot.
std::string master_key(config::Authentication authentication, const std::string& password);

// The key for one engine (RFC 3414 section 2.6), as long as the hash.
std::string localized_key(config::Authentication authentication, const std::string& master_key,
                          const std::string& engine_id);

// As long as the cipher wants it: cut, or lengthened as draft-blumenthal-aes-usm-04 section 3.1.2.1 has it.
std::string privacy_key(config::Authentication authentication, config::Privacy privacy, std::string localized,
                        const std::string& engine_id);

}  // namespace frisket::snmp
