#include "daemon/client/queue_words.h"

#include "daemon/client/moments.h"
#include "daemon/client/words.h"

namespace frisket::client {

std::string queue_state_words(const Queue& queue) {
  if (queue.state == "processing") return "printing";
  if (queue.state == "absent") return "not on its spooler";
  if (queue.state == "silent") return "does not answer";
  if (queue.state == "refused") return "may not be asked";
  if (queue.state == "nonsense") return "answers nonsense";
  return queue.state.empty() ? "unknown" : queue.state;
}

Tone tone_of_queue_state(std::string_view state) {
  if (state == "stopped") return Tone::critical;
  if (state == "silent" || state == "absent" || state == "refused" || state == "nonsense") return Tone::major;
  return Tone::plain;
}

std::string seconds_words(std::optional<std::int64_t> seconds) {
  return seconds ? span_words(std::chrono::seconds{*seconds}) : std::string();
}

std::string waiting_words(const Queue& queue) {
  if (!queue.jobs_known.value_or(false))
    return queue.queued ? counted_words(*queue.queued, "job", "jobs") + ", not listed" : "not known";
  std::string waiting;
  if (queue.waiting.value_or(0) > 0) {
    waiting = counted_words(*queue.waiting, "waits", "wait");
    if (queue.oldest_waiting_seconds) waiting += ", the oldest for " + seconds_words(queue.oldest_waiting_seconds);
  }
  const std::string held = queue.held.value_or(0) > 0 ? std::to_string(*queue.held) + " held" : "";
  const std::string words = joined({waiting, held}, "; ");
  return words.empty() ? "nothing waits" : words;
}

std::string pages_words(const Job& job) {
  if (job.impressions_completed && job.impressions)
    return std::to_string(*job.impressions_completed) + " of " + counted_words(*job.impressions, "page", "pages");
  if (job.impressions_completed) return counted_words(*job.impressions_completed, "page", "pages");
  return job.impressions ? counted_words(*job.impressions, "page", "pages") + " in all" : std::string();
}

std::string size_words(const Job& job) {
  constexpr std::int64_t kInMib = 10'240;
  if (!job.k_octets) return "";
  return *job.k_octets < kInMib ? std::to_string(*job.k_octets) + " KiB"
                                : std::to_string(*job.k_octets / 1024) + " MiB";
}

std::string reasons_words(const Queue& queue, std::string_view separator) {
  std::vector<std::string> words;
  words.reserve(queue.reasons.size());
  for (const QueueReason& each : queue.reasons) words.push_back(joined({each.keyword, each.mark}, "-"));
  return joined(words, separator);
}

std::string queue_says(const Queue& queue) {
  const std::string rejects = queue.accepting.value_or(true) ? "" : "takes no jobs";
  return joined({rejects, reasons_words(queue, ", "), queue.message, queue.detail}, "; ");
}

}  // namespace frisket::client
