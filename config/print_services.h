// Print queues, the spoolers that hold them, and what may be done to them without being told.
//
// Part of config.h. Pure values; any thread.
#pragma once

#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "probes/model/ipp_target.h"
#include "probes/model/lpd.h"

namespace frisket::config {

// A print service that holds queues.
struct Spooler {
  std::string name;
  model::IppTarget target;  // of the service as a whole
  std::string site;
  bool all_queues = true;  // also those that no [[queue]] names; these are called QUEUE@SPOOLER
  std::chrono::seconds poll_interval{30};
  std::string default_location{};           // where its default queue belongs; empty: anywhere
  std::filesystem::path restart_program{};  // empty: it cannot be restarted from here
  std::vector<std::string> restart_arguments{};
  friend bool operator==(const Spooler&, const Spooler&) = default;
};

// What is done without anybody saying so. Off unless the configuration names the kinds.
struct AutomaticCures {
  std::vector<std::string> kinds;      // "queue-stopped": resume; "job-stuck": cancel the job at the head
  int per_day = 3;                     // at most, in any 24 hours
  std::chrono::seconds job_age{1800};  // a younger job is never cancelled
  friend bool operator==(const AutomaticCures&, const AutomaticCures&) = default;
};

struct Queue {
  std::string name;
  model::IppTarget target;
  std::string device{};  // the [[device]] that it prints on; empty: found out where possible
  std::string site{};    // the device's or the spooler's, unless given; may be empty
  std::chrono::seconds poll_interval{30};
  AutomaticCures automatic{};
  // Where it is known by LPD only: then it can be read and nothing else, and of `target` only URI, host and port tell
  // anything.
  std::optional<model::LpdTarget> lpd{};
  friend bool operator==(const Queue&, const Queue&) = default;
};

// Why nothing can be done to the queue from here, in a sentence's second half; empty: it can be asked.
std::string why_read_only(const Queue& queue);

// The spooler that the queue is behind: the same host, port and TLS. Null: none of these.
const Spooler* spooler_of(const Queue& queue, const std::vector<Spooler>& spoolers);

}  // namespace frisket::config
