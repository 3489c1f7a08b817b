// The certificate that the daemon shows over TLS, and its key. Any thread.
#pragma once

#include <string>

#include "probes/model/result.h"

namespace frisket::config {

// PEM (RFC 7468), as in the files.
struct Certificate {
  std::string chain;  // the daemon's own first, then those of its issuers
  std::string key;    // without a pass phrase
  friend bool operator==(const Certificate&, const Certificate&) = default;
};

// Whether both can be read and belong to each other. An Error of kind invalid says which and why; it shows nothing of
// the key.
model::Result<model::Done> check(const Certificate& certificate);

}  // namespace frisket::config
