// Printer and job attributes (RFC 8011 sections 5.3 and 5.4) as the model's values.
//
// Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "probes/ipp/message.h"
#include "probes/model/queue.h"

namespace frisket::ipp {

// What is asked for by name.
std::vector<std::string> queue_attributes();
std::vector<std::string> job_attributes();

model::QueueSnapshot queue_from(const Group& printer);

// Ages count on the printer's own clock: job-printer-up-time of the job itself, else `up_time`. Nothing
// for a group without job-id or job-state (a job that the reader may not see).
std::optional<model::Job> job_from(const Group& job, std::optional<model::Seconds> up_time);

// The path of job-printer-uri or of printer-uri-supported, which says whose job it is whatever
// host name either URI was written with.
std::string path_of(std::string_view uri);

}  // namespace frisket::ipp
