// What is known of one print queue now.
//
// Pure values; any thread.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/incidents/incident.h"
#include "probes/model/queue.h"

namespace frisket::incidents {

struct QueueStatus {
  std::string name;     // as configured, or QUEUE@SPOOLER
  std::string spooler;  // the [[spooler]] that it is behind; empty: none
  std::string device;   // the device it prints on; empty: not known
  std::string site;
  std::string uri;          // as it is asked
  std::string read_only{};  // why nothing can be done to it from here; empty: it can be asked
  // How it met the last poll; nothing before the first.
  std::optional<model::QueueReach> reach;
  std::string detail;                                    // why it did not answer; empty if it did
  std::optional<WallTime> last_reading_at;               // last time it answered
  std::shared_ptr<const model::QueueSnapshot> snapshot;  // of that reading; null before the first
  std::vector<Condition> conditions;                     // problems or not
};

// In one word: "idle", "processing", "stopped" (RFC 8011 section 5.4.11) while it answers, else "absent", "silent",
// "refused" or "nonsense"; "unknown" before the first reading, or if it answers without a state.
std::string_view state_word(const QueueStatus& status);

}  // namespace frisket::incidents
