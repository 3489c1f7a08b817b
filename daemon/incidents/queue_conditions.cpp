#include "daemon/incidents/queue_conditions.h"

#include <algorithm>
#include <array>

#include "daemon/incidents/kinds.h"

namespace frisket::incidents {
namespace {

using model::Job;
using model::JobState;
using model::PrinterState;
using model::StateReason;

constexpr std::string_view kPaused = "paused";

// Reasons that say something of the queue and nothing of its device (RFC 8011 section 5.4.12).
constexpr std::array<std::string_view, 11> kOfTheQueue = {
    "paused",      "moving-to-paused", "stopping",  "stopped-partly",  "connecting-to-device",      "shutdown",
    "deactivated", "hold-new-jobs",    "timed-out", "spool-area-full", "identify-printer-requested"};

bool is_of_the_queue(std::string_view keyword) { return std::ranges::find(kOfTheQueue, keyword) != kOfTheQueue.end(); }

std::string count_words(std::size_t count, std::string_view one, std::string_view many) {
  return std::to_string(count) + " " + std::string(count == 1 ? one : many);
}

std::string duration_words(model::Seconds seconds) {
  const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(seconds).count();
  if (minutes < 2) return std::to_string(seconds.count()) + " s";
  if (minutes < 120) return std::to_string(minutes) + " minutes";
  return std::to_string(minutes / 60) + " hours";
}

std::string state_words(const model::QueueSnapshot& queue) {
  std::string words = "printer-state " + model::label(*queue.state);
  words += ", printer-state-reasons";
  if (queue.reasons.empty()) words += " none";
  for (const auto& reason : queue.reasons) {
    words += " " + reason.keyword;
    if (reason.mark != StateReason::Mark::none) words += "-" + std::string(to_text(reason.mark));
  }
  if (!queue.message.empty()) words += ", printer-state-message \"" + queue.message + "\"";
  return words;
}

// No name and no owner: these are nobody's business but the owner's.
std::string job_words(const Job& job) {
  std::string words = "job " + std::to_string(job.id) + " is " + model::label(job.state);
  if (job.processing_for)
    words += " for " + duration_words(*job.processing_for);
  else if (job.age)
    words += ", " + duration_words(*job.age) + " old";
  return words;
}

bool names_an_error(const model::QueueSnapshot& queue) {
  return std::ranges::any_of(queue.reasons, [](const StateReason& reason) {
    return reason.mark == StateReason::Mark::error && !is_of_the_queue(reason.keyword);
  });
}

std::size_t unfinished(const model::QueueSnapshot& queue) {
  return static_cast<std::size_t>(std::ranges::count_if(queue.jobs, [](const Job& job) {
    return job.state == JobState::pending || job.state == JobState::processing ||
           job.state == JobState::processing_stopped;
  }));
}

void add_stop(const QueueView& view, std::vector<Condition>& found) {
  const auto& queue = view.queue;
  if (queue.state != PrinterState::stopped) return;
  // A spooler says "paused" of every queue that it has stopped; an error beside it says that nobody meant it.
  const bool by_error = names_an_error(queue) || !queue.has_reason(kPaused);
  auto condition = queue_condition(by_error ? "queue-stopped" : kPaused, view.name, view.at, state_words(queue));
  condition.device_text = queue.message;
  if (!by_error && unfinished(queue) > 0) condition.severity = Severity::major;
  found.push_back(std::move(condition));
}

void add_rejecting(const QueueView& view, std::vector<Condition>& found) {
  if (view.queue.accepting.value_or(true)) return;
  auto condition = queue_condition("queue-rejecting", view.name, view.at, "printer-is-accepting-jobs false");
  condition.device_text = view.queue.message;
  found.push_back(std::move(condition));
}

void add_spool_area(const QueueView& view, std::vector<Condition>& found) {
  if (!view.queue.has_reason("spool-area-full")) return;
  found.push_back(queue_condition("spool-area-full", view.name, view.at, "printer-state-reasons spool-area-full"));
}

// No device of ours is behind it, so the queue speaks for the device.
void add_device_reasons(const QueueView& view, std::vector<Condition>& found) {
  if (view.device != nullptr) return;
  for (const auto& reason : view.queue.reasons) {
    if (reason.mark == StateReason::Mark::report || is_of_the_queue(reason.keyword)) continue;
    const auto& kind = kind_of(reason.keyword);
    if (!kind.problem || kind.keyword == "*") continue;
    auto condition = condition_of(reason.keyword, view.at, {Witness::Source::queue, state_words(view.queue)});
    condition.device_text = view.queue.message;
    found.push_back(std::move(condition));
  }
}

// What has been printed of it, by every counter there is.
std::int64_t done_of(const Job& job, const DeviceStatus* device) {
  std::int64_t done = job.impressions_completed.value_or(0) + std::int64_t{job.media_sheets_completed.value_or(0)};
  if (device != nullptr && device->snapshot)
    done += static_cast<std::int64_t>(device->snapshot->impressions().value_or(0));
  return done;
}

// Pending while nothing is processed, on a queue that is neither stopped nor busy, hangs as well.
bool is_on_its_way(const Job& job, const model::QueueSnapshot& queue) {
  if (job.state == JobState::processing || job.state == JobState::processing_stopped) return true;
  return job.state == JobState::pending && queue.state == PrinterState::idle;
}

std::optional<HeadProgress> progress_of(const QueueView& view, const std::optional<HeadProgress>& before) {
  const auto* job = view.queue.head_job();
  if (job == nullptr || !is_on_its_way(*job, view.queue)) return std::nullopt;
  HeadProgress now{job->id, done_of(*job, view.device), view.at};
  if (before && before->job == now.job && before->done == now.done) {
    now.since = before->since;
  } else if (!before || before->job != now.job) {
    // Seen for the first time, it may have hung for long.
    if (const auto known = job->processing_for ? job->processing_for : job->age) now.since -= *known;
  }
  return now;
}

// A device that prints, warms up, or has said itself what is wrong with it, explains why a job takes its time.
bool device_is_at_it(const DeviceStatus* device) {
  return device != nullptr && (device->state == DeviceState::busy || device->state == DeviceState::stopped);
}

std::string device_words(const DeviceStatus* device) {
  return device == nullptr ? "nothing is known of its device" : "its device is " + std::string(to_text(device->state));
}

void add_stuck(const QueueView& view, const std::optional<HeadProgress>& head, std::vector<Condition>& found) {
  if (!head || view.queue.state == PrinterState::stopped || device_is_at_it(view.device)) return;
  if (view.at - head->since < view.rules.job_stuck_after) return;
  auto condition =
      queue_condition("job-stuck", view.name, head->since,
                      job_words(*view.queue.head_job()) + " and gets no further; " + device_words(view.device));
  condition.device_text = view.queue.message;
  found.push_back(std::move(condition));
}

void add_backlog(const QueueView& view, std::vector<Condition>& found) {
  std::size_t waiting = 0;
  model::Seconds oldest{0};
  for (const auto& job : view.queue.jobs) {
    if (job.state != JobState::pending) continue;
    ++waiting;
    oldest = std::max(oldest, job.age.value_or(model::Seconds{0}));
  }
  // Of a queue that tells only how many there are.
  if (!view.queue.jobs_known && view.queue.queued_count.value_or(0) > 0)
    waiting = static_cast<std::size_t>(*view.queue.queued_count);
  const bool many = waiting >= static_cast<std::size_t>(view.rules.backlog_jobs);
  if (!many && (waiting == 0 || oldest < view.rules.backlog_age)) return;
  found.push_back(
      queue_condition("queue-backlog", view.name, view.at,
                      count_words(waiting, "job waits", "jobs wait") +
                          (oldest > model::Seconds{0} ? ", the oldest for " + duration_words(oldest) : "")));
}

// "job-held-for-authentication" and its like: no edition of the standard has a word for it; common practice.
bool wants_authentication(const std::string& reason) {
  return reason.find("held-for-authentication") != reason.npos || reason.find("authorization") != reason.npos ||
         reason == "job-password-wait";
}

void add_authentication(const QueueView& view, std::vector<Condition>& found) {
  std::size_t held = 0;
  std::string reason;
  for (const auto& job : view.queue.jobs) {
    if (job.state != JobState::pending_held) continue;
    const auto wanted = std::ranges::find_if(job.reasons, wants_authentication);
    if (wanted == job.reasons.end()) continue;
    ++held;
    reason = *wanted;
  }
  if (held == 0) return;
  found.push_back(queue_condition("authentication-held", view.name, view.at,
                                  count_words(held, "job is", "jobs are") + " held: job-state-reasons " + reason));
}

}  // namespace

Condition queue_condition(std::string_view keyword, const std::string& queue, WallTime since, std::string says) {
  auto condition = condition_of(keyword, since, {Witness::Source::queue, std::move(says)});
  condition.place = queue;
  return condition;
}

void keep_since(std::vector<Condition>& conditions, const std::vector<Condition>& before) {
  for (auto& condition : conditions)
    for (const auto& earlier : before)
      if (earlier.keyword == condition.keyword && earlier.subunit == condition.subunit) condition.since = earlier.since;
}

bool has_unfinished_jobs(const model::QueueSnapshot& queue) { return unfinished(queue) > 0; }

bool follows_from_device(std::string_view keyword) {
  return keyword == "job-stuck" || keyword == "queue-stopped" || keyword == "queue-backlog";
}

std::vector<Condition> conditions_of_queue(const QueueView& view, const QueueMemory& before,
                                           std::optional<HeadProgress>& head) {
  std::vector<Condition> found;
  head = progress_of(view, before.head);
  add_stop(view, found);
  add_rejecting(view, found);
  add_spool_area(view, found);
  add_device_reasons(view, found);
  add_stuck(view, head, found);
  add_backlog(view, found);
  add_authentication(view, found);
  keep_since(found, before.conditions);
  std::ranges::sort(found, {}, &Condition::keyword);
  return found;
}

}  // namespace frisket::incidents
