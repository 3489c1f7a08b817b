// What one print queue says of itself: RFC 8011's words as values.
//
// A QueueSnapshot is complete once the IPP probe has built it and is shared by pointer, as a
// DeviceSnapshot is. Texts are bounded UTF-8 (text.h), lists are bounded by the probe. What a
// queue did not say is empty or nothing, never 0: IPP has values for "unknown" and "no value", and
// they end up here as absence. Pure values; any thread.
#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/enum_names.h"
#include "probes/model/time.h"

namespace frisket::model {

using Seconds = std::chrono::seconds;

// RFC 8011 section 5.4.11.
enum class PrinterState : std::int32_t { idle = 3, processing = 4, stopped = 5 };

// RFC 8011 section 5.3.7.
enum class JobState : std::int32_t {
  pending = 3,
  pending_held = 4,
  processing = 5,
  processing_stopped = 6,
  canceled = 7,
  aborted = 8,
  completed = 9,
};

template <>
std::span<const EnumName> listed<PrinterState>();
template <>
std::span<const EnumName> listed<JobState>();

// Canceled, aborted or completed: nothing more will happen to the job.
bool is_over(JobState state);

// One value of printer-state-reasons (RFC 8011 section 5.4.12): the keyword, and the mark that
// was behind it.
struct StateReason {
  enum class Mark { none, report, warning, error };

  std::string keyword;  // "media-empty", never with the mark, never "none"
  Mark mark = Mark::none;
  bool cut = false;  // the peer cut the value at 31 characters; what was lost could be put back or not
  friend bool operator==(const StateReason&, const StateReason&) = default;
};

std::string_view to_text(StateReason::Mark mark);  // "", "report", "warning", "error"

// What no mark means: error where the printer is stopped, else warning (RFC 8011 section 5.4.12).
StateReason::Mark effective_mark(const StateReason& reason, PrinterState state);

// What may identify a person or tell what was printed. Apart from the rest, so that an exit which
// shows it has to say so.
struct PrivateJobFields {
  std::string name;   // job-name
  std::string owner;  // job-originating-user-name
  friend bool operator==(const PrivateJobFields&, const PrivateJobFields&) = default;
};

struct Job {
  std::int32_t id = 0;
  JobState state = JobState::pending;
  std::vector<std::string> reasons;         // job-state-reasons without "none"
  std::optional<Seconds> age;               // since time-at-creation, by the printer's own clock
  std::optional<Seconds> processing_for;    // since time-at-processing, likewise
  std::optional<std::int32_t> k_octets;     // size in units of 1024 octets, rounded up
  std::optional<std::int32_t> impressions;  // job-impressions, if known beforehand
  std::optional<std::int32_t> impressions_completed;
  std::optional<std::int32_t> media_sheets_completed;
  std::optional<std::int32_t> priority;  // 1 to 100
  PrivateJobFields personal;
  bool has_reason(std::string_view keyword) const;
  friend bool operator==(const Job&, const Job&) = default;
};

struct QueueSnapshot {
  std::string uri;   // as the queue itself names it (printer-uri-supported); may name another host
  std::string name;  // printer-name
  std::optional<PrinterState> state;
  std::vector<StateReason> reasons;
  std::string message;  // printer-state-message: free text
  std::optional<bool> accepting;
  std::optional<std::int32_t> queued_count;  // jobs not over, also those left out of `jobs`
  std::optional<Seconds> up_time;            // printer-up-time; the standard promises no epoch
  std::string make_and_model;
  std::string location;
  std::string info;
  std::string device_uri;  // without user and password; empty: not said
  bool is_default = false;
  std::vector<std::string> document_formats;
  std::string device_id;  // IEEE 1284, where the queue passes it on

  // Jobs that are not over, in the order the queue expects to finish them; bounded.
  std::vector<Job> jobs;
  bool jobs_known = false;  // false: the queue would not list them

  // What had to be left out, in words for a person.
  std::vector<std::string> gaps;

  bool has_reason(std::string_view keyword) const;
  // The job that is being processed, else the first that waits for nothing but its turn, else
  // nothing. Valid as long as the snapshot is unchanged.
  const Job* head_job() const;
  std::size_t waiting() const;  // pending
  std::size_t held() const;     // pending-held

  friend bool operator==(const QueueSnapshot&, const QueueSnapshot&) = default;
};

// How a queue met the poll.
enum class QueueReach {
  answered,
  absent,    // the spooler answers, and has no such queue
  silent,    // no answer: the spooler is down or hangs
  refused,   // an answer, but no rights
  nonsense,  // an answer that is not the protocol
};

std::string_view to_text(QueueReach reach);

struct QueueReading {
  std::string queue;  // the configured name; for a spooler's list the queue's own
  WallTime at;
  QueueReach reach = QueueReach::silent;
  std::string detail;                             // for people, when reach is not answered
  std::shared_ptr<const QueueSnapshot> snapshot;  // null unless it answered
};

// One pass over all queues of a spooler. Answered with no queues is a healthy spooler without queues.
struct SpoolerReading {
  std::string spooler;  // the configured name
  WallTime at;
  QueueReach reach = QueueReach::silent;  // of the spooler; never absent
  std::string detail;
  std::vector<std::shared_ptr<const QueueSnapshot>> queues;  // in order of name
  std::vector<std::string> gaps;
};

}  // namespace frisket::model
