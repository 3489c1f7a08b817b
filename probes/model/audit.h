// One line of the record of who changed what.
//
// `who` is what the access rules call whoever asked: a token's name, "unix:UID", "loopback", or "nobody" for somebody
// who showed no token that is known. Pure values; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "probes/model/time.h"

namespace frisket::model {

struct AuditRecord {
  enum class Outcome {
    done,
    refused,  // for want of a right
    failed,   // it was allowed, and could not be done, or made no sense
  };

  std::uint64_t number = 0;  // given by the store, growing
  WallTime at;
  std::string who;
  std::string peer;    // an IP address, or "unix:UID"
  std::string what;    // "incident.ack", "queue.cancel"
  std::string target;  // the incident's id, the queue's name; may be empty
  std::string detail;  // JSON text, at most kMostAuditDetail bytes; empty: none
  Outcome outcome = Outcome::done;
  std::string reason;  // why refused or failed
  friend bool operator==(const AuditRecord&, const AuditRecord&) = default;
};

inline constexpr std::size_t kMostAuditDetail = 4096;

std::string_view to_text(AuditRecord::Outcome outcome);

// The same with texts of one line and kMaxText bytes (text.h); a detail that is too long or no UTF-8 becomes
// {"left_out_bytes": N}.
AuditRecord bounded(AuditRecord record);

// A part of the record: the newest come first.
struct AuditWindow {
  std::size_t limit = 1000;
  std::uint64_t before = 0;  // only those with a smaller number; 0: from the newest on
};

}  // namespace frisket::model
