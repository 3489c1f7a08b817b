// What the process says to the shell when it ends; part of the public contract.
#pragma once

#include "probes/model/result.h"

namespace frisket::client {

enum class ExitStatus : int {
  done = 0,         // and for status: nothing at or above --fail-on is open
  open = 1,         // something is
  usage = 2,        // usage or configuration, an unknown device or incident among it
  unreachable = 3,  // nobody answered, or not as a Frisket daemon does
  refused = 4,      // HTTP 401, 403 or 429
};

inline ExitStatus exit_status_of(const model::Error& error) {
  switch (error.kind) {
    case model::Error::Kind::refused:
    case model::Error::Kind::unknown_user:
    case model::Error::Kind::wrong_key:
      return ExitStatus::refused;
    case model::Error::Kind::silent:
    case model::Error::Kind::nonsense:
      return ExitStatus::unreachable;
    case model::Error::Kind::local:
    case model::Error::Kind::invalid:
      break;
  }
  return ExitStatus::usage;
}

}  // namespace frisket::client
