// What the daemon answers about print queues (docs/api.md), decoded into values.
//
// As answers.h. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "daemon/client/answers.h"

namespace frisket::client {

// The states of a queue in the order in which they are told.
inline constexpr const char* kQueueStates[] = {"idle",   "processing", "stopped",  "absent",
                                               "silent", "refused",    "nonsense", "unknown"};

struct Job {
  std::optional<std::int64_t> id;
  std::string state;
  std::vector<std::string> reasons;
  std::optional<std::int64_t> age_seconds;
  std::optional<std::int64_t> processing_seconds;
  std::optional<std::int64_t> k_octets;
  std::optional<std::int64_t> impressions;
  std::optional<std::int64_t> impressions_completed;
  std::optional<std::int64_t> priority;
  std::string name;   // empty: not said, or withheld
  std::string owner;  // likewise
};

// One value of printer-state-reasons.
struct QueueReason {
  std::string keyword;
  std::string mark;  // "report", "warning", "error"; empty: none
};

struct Queue {
  std::string name;
  std::string spooler;
  std::string device;
  std::string site;
  std::string uri;
  std::string state;
  std::string detail;
  std::optional<WallTime> last_reading_at;
  std::optional<bool> accepting;
  std::vector<QueueReason> reasons;
  std::string message;
  std::string make_and_model;
  std::string location;
  std::string info;
  std::optional<bool> is_default;
  std::string device_uri;
  std::vector<std::string> document_formats;
  std::optional<bool> jobs_known;
  std::optional<std::int64_t> queued;
  std::optional<std::int64_t> waiting;
  std::optional<std::int64_t> held;
  std::optional<std::int64_t> oldest_waiting_seconds;
  std::optional<Job> head;
  std::vector<Condition> conditions;
};

struct QueueJobs {
  std::vector<Job> jobs;
  bool known = false;     // false: the queue would not list them
  bool personal = false;  // names and owners are told
};

// What came, or would come, of an act on a queue.
struct ActedJob {
  Job job;
  bool done = false;
  std::string trouble;
};
struct QueueOutcome {
  std::string what;
  std::string queue;
  bool dry_run = false;
  std::vector<ActedJob> jobs;
  std::string said;
  std::string afterwards;
};

// Of a list object, {"items": [...]}.
Result<std::vector<Queue>> queues_from(const Json& list);

Result<Queue> queue_from(const Json& queue);
Result<QueueJobs> queue_jobs_from(const Json& jobs);
Result<QueueOutcome> queue_outcome_from(const Json& outcome);

}  // namespace frisket::client
