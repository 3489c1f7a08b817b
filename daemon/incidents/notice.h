// A notice: one telling of one incident's change to one hook, as the outbox keeps it.
//
// Made from a transition before anybody is told, written in the same transaction as the
// transition, and delivered at least once. Its id stays the same over repeats of the
// delivery and over restarts, so that a receiver can drop what it has had. Pure; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "probes/model/time.h"

namespace frisket::incidents {

struct Notice {
  enum class Reason {
    raised,
    changed,
    cleared,
    operator_action,
    reminder,   // still open
    escalated,  // nobody acknowledged it in time
    test,       // asked for by hand; of no incident
  };
  enum class State {
    waiting,    // until `due`
    delivered,  // the receiver took it
    parked,     // given up after the last attempt; kept to be seen
    dropped,    // no longer worth telling: cleared before its least duration was over, the hook is gone
  };

  std::string id;            // never used twice; of at most 64 characters of [a-z0-9-]
  std::uint64_t number = 0;  // the order of telling; rises over all hooks and restarts
  std::string hook;
  std::string incident;  // empty for a test
  Reason reason = Reason::raised;
  model::WallTime at;   // of the change
  model::WallTime due;  // not before
  State state = State::waiting;
  int attempts = 0;
  std::string trouble;  // of the last attempt; empty: none
  std::string body;     // JSON as of `at` (daemon/json/forms.h, notice_form), with "id" and "hook"
  friend bool operator==(const Notice&, const Notice&) = default;
};

std::string_view to_text(Notice::Reason reason);  // "raised", ..., "operator-action", "reminder"
std::string_view to_text(Notice::State state);

}  // namespace frisket::incidents
