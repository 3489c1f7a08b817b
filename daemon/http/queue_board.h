// The print queues as they were last published, already in JSON: the part of the fleet board that is about them.
//
// One thread (the io_context's).
#pragma once

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "daemon/http/event_log.h"
#include "daemon/http/queue_entry.h"
#include "daemon/http/slice.h"

namespace frisket::http {

// Every word of incidents::state_word(), in the order in which they are told.
inline constexpr std::array<std::string_view, 8> kQueueStates = {"idle",   "processing", "stopped",  "absent",
                                                                 "silent", "refused",    "nonsense", "unknown"};

// Empty sets let everything through. A queue that does not say whether it takes jobs fits no `accepting`.
struct QueueFilter {
  std::set<std::string> sites;
  std::set<std::string> devices;
  std::set<std::string> spoolers;
  std::set<std::string_view> states;
  std::optional<bool> accepting;
};

class QueueBoard {
 public:
  // Both must outlive the board.
  QueueBoard(EventLog& events, Revisions& revisions) : events_(events), revisions_(revisions) {}

  // Takes one queue's status after a reading; readers of the event stream hear of it if it looks different. True if the
  // counts by state may have changed.
  bool publish(const incidents::QueueStatus& status, model::WallTime at);

  // False if no such queue is known.
  bool forget(const std::string& name, model::WallTime at);

  // In order of name; the key is the name. Texts are JSON.
  Slice list(const QueueFilter& filter, const Window& window) const;
  std::optional<std::string> queue(const std::string& name) const;

  // `personal`: with the names and owners of the jobs.
  std::optional<std::string> jobs(const std::string& name, bool personal) const;

  // Of the queue, and of its jobs; 0: no such queue is known.
  std::uint64_t version(const std::string& name) const;

  bool knows(const std::string& name) const { return queues_.contains(name); }
  const std::map<std::string, QueueEntry>& entries() const { return queues_; }

 private:
  EventLog& events_;
  Revisions& revisions_;
  std::map<std::string, QueueEntry> queues_;
};

}  // namespace frisket::http
