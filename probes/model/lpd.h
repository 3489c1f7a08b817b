// What a print server says of one queue over LPD (RFC 1179 sections 5.3 and 5.4).
//
// The RFC leaves the form of the text to the server, so little of it is understood, and nothing is guessed. Pure
// values; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "probes/model/queue.h"
#include "probes/model/time.h"

namespace frisket::model {

// What may identify a person or tell what was printed: the text names owners and files, in no fixed place. Apart from
// the rest, so that an exit which shows it has to say so.
struct PrivateLpdFields {
  std::vector<std::string> lines;  // bounded UTF-8, without empty ones, runs of blanks as one
  friend bool operator==(const PrivateLpdFields&, const PrivateLpdFields&) = default;
};

struct LpdReading {
  std::string queue;  // as it was asked for
  WallTime at;
  QueueReach reach = QueueReach::silent;
  std::string detail;             // for people, when reach is not answered; may quote a line of the server's
  std::optional<bool> accepting;  // only where the text says so in as many words
  // Rows that are jobs beyond doubt; 0 only where the text says that there are none, nothing where no row is one.
  std::optional<std::int32_t> jobs_listed;
  PrivateLpdFields personal;
};

}  // namespace frisket::model
