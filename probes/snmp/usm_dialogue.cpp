#include "probes/snmp/usm_dialogue.h"

#include <utility>

namespace frisket::snmp {

using model::Error;

UsmDialogue::Do UsmDialogue::end(Error::Kind kind, std::string what) {
  error_ = Error{kind, "asking", "", std::move(what)};
  return Do::end;
}

UsmDialogue::Do UsmDialogue::on_report(UsmReport report, bool same_engine, bool authentic) {
  if (++messages_ > kMostMessages)
    return end(Error::Kind::nonsense, "the agent finds a new reason each time not to answer");
  if (discovering_) {
    // unknown_engine_id is what the standard has, but whatever it complains of, it says who it is.
    if (report == UsmReport::other) return end(Error::Kind::nonsense, "the agent does not say which SNMP engine it is");
    discovering_ = false;
    discovered_ = true;
    return Do::meet;
  }
  switch (report) {
    case UsmReport::unknown_engine_id:
      // An engine that does not know the very id it has just given is beyond help.
      if (same_engine || std::exchange(renamed_, true)) {
        return end(Error::Kind::nonsense, "the agent's SNMP engine id does not stay the same");
      }
      discovered_ = true;
      return Do::meet;
    case UsmReport::not_in_time_window:
    case UsmReport::outdated:
      if (std::exchange(resynchronised_, true)) {
        return end(Error::Kind::nonsense, "the agent's SNMP engine time does not stay the same");
      }
      // Only what is proven moves the time of a user who proves who he is (RFC 3414 section 3.2 step 7b);
      // whatever else is behind it, discovery starts from nothing.
      if (report == UsmReport::not_in_time_window && authentic) return Do::send_again;
      discovering_ = true;
      return Do::forget;
    case UsmReport::unknown_user_name:
      return end(Error::Kind::unknown_user, "the agent has no SNMPv3 user \"" + user_ + "\"");
    case UsmReport::wrong_digest:
      return end(Error::Kind::wrong_key,
                 "the agent knows SNMPv3 user \"" + user_ + "\", but not with this authentication or password");
    case UsmReport::decryption_error:
      return end(Error::Kind::wrong_key,
                 "the agent knows SNMPv3 user \"" + user_ + "\", but not with this privacy or its password");
    case UsmReport::unsupported_security_level:
      return end(Error::Kind::refused,
                 "the agent does not let SNMPv3 user \"" + user_ + "\" ask at this security level");
    case UsmReport::unknown_context:
      return end(Error::Kind::refused, "the agent has no such SNMPv3 context");
    case UsmReport::other:
      break;
  }
  return end(Error::Kind::nonsense, "the agent answers with a report that says nothing of use");
}

void UsmDialogue::on_silence(Error silent) {
  error_ = std::move(silent);
  // An agent drops what it cannot read, and what a wrong privacy key makes of a request is that.
  if (error_.kind != Error::Kind::silent || discovering_ || !discovered_) return;
  error_ = Error{Error::Kind::wrong_key, "asking", "",
                 "the agent answers, but not SNMPv3 user \"" + user_ + "\": most likely a wrong password"};
}

}  // namespace frisket::snmp
