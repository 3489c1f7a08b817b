#include "daemon/service/queue_cure.h"

#include <algorithm>

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using http::ActedJob;
using http::QueueAct;
using http::QueueActOutcome;
using What = QueueAct::What;
using model::Error;
using model::JobState;
using model::PrinterState;
using model::QueueReach;

bool waits(const model::Job& job) { return job.state == JobState::pending || job.state == JobState::pending_held; }

bool is_processed(const model::Job& job) {
  return job.state == JobState::processing || job.state == JobState::processing_stopped;
}

std::string jobs_words(std::size_t count) { return std::to_string(count) + (count == 1 ? " job" : " jobs"); }

std::size_t done_of(const QueueActOutcome& outcome) {
  return static_cast<std::size_t>(std::ranges::count_if(outcome.jobs, &ActedJob::done));
}

std::string said_of_jobs(const QueueActOutcome& outcome, const std::string& verb) {
  const auto count = outcome.jobs.size();
  if (count == 0) return "No job waits, so nothing is to be done.";
  if (outcome.act.dry_run) return jobs_words(count) + " would be " + verb + ".";
  const auto done = done_of(outcome);
  if (done == count) return jobs_words(count) + (count == 1 ? " is " : " are ") + verb + ".";
  return std::to_string(done) + " of " + jobs_words(count) + " are " + verb + ".";
}

bool is_in(const std::vector<ActedJob>& jobs, std::int32_t id) {
  return std::ranges::any_of(jobs, [&](const ActedJob& acted) { return acted.done && acted.job.id == id; });
}

// Whatever stood at the head before, something is printed now, or nothing is left to be.
bool flows(const QueueActOutcome& outcome, const model::QueueSnapshot& queue) {
  if (queue.state == PrinterState::stopped) return false;
  const auto* head = queue.head_job();
  if (head == nullptr) return true;
  return is_processed(*head) && !is_in(outcome.jobs, head->id);
}

bool still_there(const QueueActOutcome& outcome, const model::QueueSnapshot& queue) {
  return std::ranges::any_of(queue.jobs, [&](const model::Job& job) { return is_in(outcome.jobs, job.id); });
}

std::string reasons_words(const model::QueueSnapshot& queue) {
  std::string words;
  for (const auto& reason : queue.reasons) words += (words.empty() ? " (" : ", ") + reason.keyword;
  return words.empty() ? words : words + ")";
}

asio::awaitable<QueueHand::Outcome> act_on(QueueHand& hand, What what, std::int32_t job, std::string to_uri) {
  if (what == What::move_waiting) co_return co_await hand.move(job, std::move(to_uri));
  co_return co_await hand.cancel(job);
}

// What the print service refuses of one job it would refuse of all, and one that is silent is not asked again; that a
// job has gone meanwhile is said of that job.
asio::awaitable<QueueHand::Outcome> act_on_jobs(QueueHand& hand, Clock& clock, QueueActOutcome& outcome,
                                                std::string to_uri) {
  const auto due = clock.steady_now() + kLongestAct;
  std::optional<Error> hopeless;
  for (auto& acted : outcome.jobs) {
    if (hopeless || clock.steady_now() >= due) {
      acted.trouble = hopeless ? "not tried any more" : "left, as the act took too long";
      continue;
    }
    const auto done = co_await act_on(hand, outcome.act.what, acted.job.id, to_uri);
    acted.done = bool(done);
    if (done) continue;
    acted.trouble = done.error().what;
    if (outcome.jobs.size() == 1 || done.error().kind != Error::Kind::invalid) hopeless = done.error();
  }
  if (hopeless && done_of(outcome) == 0) co_return *hopeless;
  co_return model::Done{};
}

asio::awaitable<QueueHand::Outcome> act_on_queue(QueueHand& hand, What what) {
  if (what == What::pause) co_return co_await hand.pause();
  co_return co_await hand.resume();
}

asio::awaitable<std::string> look_afterwards(QueueHand& hand, Clock& clock, Sleeper& sleeper,
                                             const QueueActOutcome& outcome, Aftercare aftercare) {
  std::string seen;
  for (int look = 0; look < aftercare.looks; ++look) {
    if (co_await sleeper.until(clock.steady_now() + aftercare.between) == Sleeper::Woke::early) break;
    const auto reading = co_await hand.read();
    seen = seen_of(outcome, reading);
    if (is_settled(outcome, reading)) break;
  }
  co_return seen;
}

}  // namespace

model::Result<std::vector<ActedJob>> jobs_for(const QueueAct& act, const model::QueueSnapshot& queue) {
  std::vector<ActedJob> jobs;
  const bool all_waiting = act.what == What::cancel_waiting || act.what == What::move_waiting;
  if (all_waiting || act.what == What::cancel_job) {
    if (!queue.jobs_known) return Error{Error::Kind::invalid, "", act.queue, "the queue does not list its jobs"};
  }
  if (all_waiting) {
    for (const auto& job : queue.jobs)
      if (waits(job)) jobs.push_back({job, false, {}});
  } else if (act.what == What::cancel_job) {
    const auto* head = queue.head_job();
    const auto found = act.job ? std::ranges::find(queue.jobs, *act.job, &model::Job::id) : queue.jobs.end();
    if (!act.job && head == nullptr)
      return Error{Error::Kind::invalid, "", act.queue, "the queue has no job at its head"};
    if (act.job && found == queue.jobs.end())
      return Error{Error::Kind::invalid, "", act.queue,
                   "the queue has no job " + std::to_string(*act.job) + " that is not over"};
    jobs.push_back({act.job ? *found : *head, false, {}});
  }
  return jobs;
}

std::string said_of(const QueueActOutcome& outcome) {
  const bool dry = outcome.act.dry_run;
  switch (outcome.act.what) {
    case What::pause:
      return dry ? "The queue would begin no further job; jobs would still be taken."
                 : "The queue begins no further job; jobs are still taken.";
    case What::resume:
      return dry ? "The queue would go on with its jobs." : "The queue is told to go on with its jobs.";
    case What::cancel_job: {
      const auto job = "Job " + std::to_string(outcome.jobs.front().job.id);
      return job + (dry ? " would be cancelled." : " is cancelled.");
    }
    case What::cancel_waiting:
      return said_of_jobs(outcome, "cancelled");
    case What::move_waiting:
      return said_of_jobs(outcome, "moved to " + outcome.act.to);
    case What::restart:
      break;
  }
  return {};
}

bool is_settled(const QueueActOutcome& outcome, const model::QueueReading& now) {
  if (now.reach != QueueReach::answered || !now.snapshot) return false;
  if (outcome.act.what == What::pause) return now.snapshot->state == PrinterState::stopped;
  return flows(outcome, *now.snapshot) && !still_there(outcome, *now.snapshot);
}

std::string seen_of(const QueueActOutcome& outcome, const model::QueueReading& now) {
  if (now.reach != QueueReach::answered || !now.snapshot) return "The queue did not answer: " + now.detail;
  const auto& queue = *now.snapshot;
  const auto waiting = queue.waiting() + queue.held();
  const auto rest = waiting == 0 ? "no job waits" : jobs_words(waiting) + (waiting == 1 ? " waits" : " wait");
  if (still_there(outcome, queue)) return "Not all of these jobs have gone yet; " + rest + ".";
  if (queue.state == PrinterState::stopped)
    return (outcome.act.what == What::pause ? "The queue stands, as asked" : "The queue stands") +
           reasons_words(queue) + "; " + rest + ".";
  const auto* head = queue.head_job();
  if (head != nullptr && is_processed(*head))
    return "Job " + std::to_string(head->id) + " is being processed; " + rest + ".";
  if (head == nullptr) return "No job is left that could be printed; " + rest + ".";
  return "No job is being processed yet; " + rest + ".";
}

asio::awaitable<model::Result<QueueActOutcome>> cure(QueueHand& hand, Clock& clock, Sleeper& sleeper, QueueAct act,
                                                     std::string to_uri, Aftercare aftercare) {
  const auto before = co_await hand.read();
  if (before.reach != QueueReach::answered || !before.snapshot) {
    const bool absent = before.reach == QueueReach::absent;
    const bool refused = before.reach == QueueReach::refused;
    const auto kind = absent ? Error::Kind::invalid : refused ? Error::Kind::refused : Error::Kind::silent;
    co_return Error{kind, "", act.queue, before.detail};
  }
  const auto offered = co_await hand.offers(act.what);
  if (!offered) co_return offered.error();
  if (!*offered) {
    std::string what = "its print service does not offer to " + std::string(to_text(act.what));
    co_return Error{Error::Kind::invalid, "", act.queue, std::move(what)};
  }
  auto jobs = jobs_for(act, *before.snapshot);
  if (!jobs) co_return jobs.error();

  QueueActOutcome outcome;
  outcome.act = std::move(act);
  outcome.jobs = std::move(*jobs);
  const bool on_queue = outcome.act.what == What::pause || outcome.act.what == What::resume;
  if (!outcome.act.dry_run) {
    QueueHand::Outcome done = model::Done{};
    if (on_queue)
      done = co_await act_on_queue(hand, outcome.act.what);
    else
      done = co_await act_on_jobs(hand, clock, outcome, std::move(to_uri));
    if (!done) co_return done.error();
  }
  outcome.said = said_of(outcome);
  const bool nothing_done = !on_queue && done_of(outcome) == 0;
  if (!outcome.act.dry_run && !nothing_done)
    outcome.afterwards = co_await look_afterwards(hand, clock, sleeper, outcome, aftercare);
  co_return outcome;
}

}  // namespace frisket::service
