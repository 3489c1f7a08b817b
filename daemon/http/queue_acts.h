// What a person may do to a print queue, and what came of it.
//
// Every act can be tried first: a dry run says what would be done, and to which jobs, and does nothing. Pure values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/queue.h"

namespace frisket::http {

struct QueueAct {
  enum class What {
    pause,           // Pause-Printer: no further job is begun; jobs are still taken
    resume,          // Resume-Printer
    cancel_job,      // Cancel-Job: one job, or the one at the head
    cancel_waiting,  // all jobs that are not over and not being processed
    move_waiting,    // the same jobs to another queue of the same spooler
    restart,         // the spooler, by its configured program
  };
  What what = What::pause;
  std::string queue;
  std::optional<std::int32_t> job{};  // of cancel_job; nothing: the one at the head
  std::string to{};                   // of move_waiting: the name of the other queue
  bool dry_run = false;
  std::string by{};    // the person, in his own words; may be empty
  std::string note{};  // may be empty
};

std::string_view to_text(QueueAct::What what);  // "pause", "cancel-job", ...

// One job that an act is about.
struct ActedJob {
  model::Job job;
  bool done = false;    // the queue took it
  std::string trouble;  // why not; empty if it did, and in a dry run
};

struct QueueActOutcome {
  QueueAct act;
  std::vector<ActedJob> jobs;  // in the queue's order
  std::string said;            // one sentence for a person: what was, or would be, done
  // What was seen of the queue afterwards, some seconds later: do jobs flow? Empty in a dry run.
  std::string afterwards;
};

}  // namespace frisket::http
