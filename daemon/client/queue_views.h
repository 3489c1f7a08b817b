// What the verbs about print queues print. As views.h. Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/client/queue_answers.h"
#include "daemon/client/views.h"

namespace frisket::client {

std::string queues_screen(const std::vector<Queue>& queues, const Screen& screen);
std::string queues_lines(const std::vector<Queue>& queues);

// With the incidents that are open on it.
std::string queue_screen(const Queue& queue, std::vector<Incident> open, const Screen& screen);
std::string queue_lines(const Queue& queue, std::vector<Incident> open);

// In the order in which the queue expects to finish them.
std::string queue_jobs_screen(const QueueJobs& jobs, const Screen& screen);
std::string queue_jobs_lines(const QueueJobs& jobs);

std::string queue_outcome_screen(const QueueOutcome& outcome, const Screen& screen);
std::string queue_outcome_lines(const QueueOutcome& outcome);

}  // namespace frisket::client
