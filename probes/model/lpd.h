// What a print server says of one queue over LPD (RFC 1179 sections 5.3 and 5.4).
//
// The RFC leaves the form of the text to the server, so little of it is understood, and nothing is guessed. Pure
// values; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/queue.h"
#include "probes/model/result.h"
#include "probes/model/time.h"

namespace frisket::model {

inline constexpr std::uint16_t kLpdPort = 515;  // RFC 1179 section 3.1

// One queue of one print server.
struct LpdTarget {
  std::string host;  // a name or an IP literal without brackets
  std::uint16_t port = kLpdPort;
  std::string queue;
  friend bool operator==(const LpdTarget&, const LpdTarget&) = default;
};

// Fails with Kind::invalid: no host, port 0, or a queue that could not be sent as one operand, which is 1 to 127
// printable characters of ASCII without blanks (RFC 1179 section 3.1; the length is ours).
Result<LpdTarget> lpd_target(std::string_view host, std::uint16_t port, std::string_view queue);

// "lpd://print.example.org/seeds", with ":PORT" behind the host if it is another than 515. No standard has this scheme;
// common practice, no source. Fails with Kind::invalid, also for a user or a password inside.
Result<LpdTarget> lpd_target_of(std::string_view uri);

// As it is written above.
std::string uri_of(const LpdTarget& target);

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
