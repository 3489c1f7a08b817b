// What is known of the SNMP engine of one device, as one user sees it (RFC 3414).
//
// The device is always the authoritative side: its engine id, how often it has started, and the
// seconds since then are learnt from it, and the user's keys are those localized to it. Pure
// values, time comes in; 8 octets as long as nothing is known, some 300 after.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>

#include "probes/model/time.h"

namespace frisket::snmp {

// RFC 3411 section 5, SnmpEngineID; shorter ones than the 5 octets it asks for are met in the field
// and do no harm.
inline constexpr std::size_t kLongestEngineId = 32;

// RFC 3414 section 2.2.3.
inline constexpr std::uint32_t kTimeWindow = 150;  // seconds

struct UsmKeys {
  std::string authentication;  // empty: the user has none
  std::string privacy;
};

struct UsmEngine {
  std::string id;
  UsmKeys keys;
  // Of the latest message that counted, and when that came.
  std::uint32_t boots = 0;
  std::uint32_t time = 0;  // seconds since the engine started
  model::SteadyTime received;
  bool authentic = false;  // boots and time came in a message with a right digest, not just in a report
};

// Belongs to one device and one credential; a change of either takes a new one.
class UsmPeer {
 public:
  // Nothing: the engine has to be discovered first (RFC 3414 section 4). Valid until the next change.
  const UsmEngine* engine() const { return engine_.get(); }

  // Takes what discovery found in place of whatever was known.
  void meet(UsmEngine engine);
  void forget() { engine_.reset(); }

  // A message with a right digest had these: they count if they are later than what is known, so
  // that an old message sent again moves nothing (RFC 3414 section 3.2 step 7b).
  void heard(std::uint32_t boots, std::uint32_t time, model::SteadyTime now);

 private:
  std::unique_ptr<UsmEngine> engine_;
};

// The engine's own time at `now`, as far as we can tell.
std::uint32_t time_at(const UsmEngine& engine, model::SteadyTime now);

// Why an engine did not answer a request (RFC 3414 section 5 and RFC 3412 section 5: the counters
// that a Report-PDU names).
enum class UsmReport {
  unsupported_security_level,
  not_in_time_window,
  unknown_user_name,
  unknown_engine_id,
  wrong_digest,
  decryption_error,
  unknown_context,
  other,
  outdated,  // no report: a message with a right digest, older than what is known of the engine
};

}  // namespace frisket::snmp
