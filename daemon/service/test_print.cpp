#include "daemon/service/test_print.h"

#include <algorithm>
#include <utility>

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;
using http::TestPrintOutcome;
using http::TestVerdict;
using model::JobState;
using Kind = model::Error::Kind;

// How often it is looked whether the poll that was asked for has ended.
constexpr auto kGlance = 500ms;

// Of a printer that cannot go on with the job, whatever job-state says (RFC 8011 section 5.3.8).
bool is_stopped(const model::Job& job) {
  return job.state == JobState::processing_stopped || (!model::is_over(job.state) && job.has_reason("printer-stopped"));
}

void add_new(std::vector<std::string>& all, const std::vector<std::string>& more) {
  for (const auto& each : more)
    if (std::ranges::find(all, each) == all.end()) all.push_back(each);
}

std::string in_brackets(const std::vector<std::string>& reasons) {
  std::string text;
  for (const auto& reason : reasons) text += (text.empty() ? " (" : ", ") + reason;
  return text.empty() ? text : text + ")";
}

std::string way_words(const TestPrintOutcome& outcome) {
  switch (outcome.way) {
    case TestPrintOutcome::Way::own_service:
      return "over IPP to the printer's own service, " + outcome.to;
    case TestPrintOutcome::Way::queue:
      return "over IPP to the queue " + outcome.queue + ", " + outcome.to;
    case TestPrintOutcome::Way::raw_port:
      return "as plain text to " + outcome.to;
  }
  return outcome.to;
}

std::string counter_words(const TestPrintOutcome& outcome) {
  if (!outcome.impressions_before || !outcome.impressions_after)
    return "its pages are not counted, or could not be read";
  return "its page counter stayed at " + std::to_string(*outcome.impressions_after);
}

std::string job_words(const TestPrintOutcome& outcome) {
  return outcome.job ? "job " + std::to_string(*outcome.job) : "the page";
}

}  // namespace

bool TestPrintSeen::completed() const { return !followed || (job && job->state == JobState::completed); }

std::optional<TestVerdict> verdict_of(const TestPrintSeen& seen) {
  if (seen.rose() && (seen.completed() || seen.forgotten)) return TestVerdict::printed;
  if (seen.completed()) {
    if (!seen.before || seen.counting_over || seen.time_over) return TestVerdict::completed_uncounted;
    return std::nullopt;
  }
  if (seen.job && seen.job->state == JobState::canceled) return TestVerdict::canceled;
  if (seen.job && seen.job->state == JobState::aborted) return TestVerdict::aborted;
  if (seen.stopped_long) return TestVerdict::stopped;
  if (seen.time_over || (seen.forgotten && (!seen.before || seen.counting_over))) return TestVerdict::timed_out;
  return std::nullopt;
}

TestPrintRun::TestPrintRun(Clock& clock, PageMaker& maker, PageCounter& counter,
                           std::vector<std::unique_ptr<TestPageWay>> ways, TestPrintPatience patience)
    : clock_(clock), maker_(maker), counter_(counter), ways_(std::move(ways)), patience_(patience) {}

bool TestPrintRun::waits(model::SteadyTime since, std::chrono::seconds span) const {
  return !ended_early_ && clock_.steady_now() - since < span;
}

// The first way that takes what we can make; one that does not answer is the answer.
asio::awaitable<model::Result<PageWanted>> TestPrintRun::choose() {
  model::Error error;
  for (const auto& way : ways_) {
    way_ = way.get();
    auto wanted = co_await way->wanted();
    if (wanted || wanted.error().kind != Kind::invalid) co_return wanted;
    error = wanted.error();
  }
  co_return error;
}

// What the counter shows at a reading that is new. One of before would let the pages of others pass for ours.
asio::awaitable<void> TestPrintRun::count_before(Sleeper& sleeper) {
  const auto asked_at = clock_.wall_now();
  const auto since = clock_.steady_now();
  if (!counter_.read_soon()) co_return;
  while (waits(since, patience_.count_before)) {
    const auto count = counter_.last();
    if (count && count->at >= asked_at) {
      seen_.before = count->impressions;
      co_return;
    }
    const auto woke = co_await sleeper.until(clock_.steady_now() + kGlance);
    ended_early_ = woke == Sleeper::Woke::early;
  }
}

void TestPrintRun::count() {
  const auto now = clock_.steady_now();
  if (const auto count = counter_.last(); count && seen_.before) seen_.after = count->impressions;
  if (!seen_.completed() && !seen_.forgotten) return;
  if (!completed_since_) completed_since_ = now;
  if (seen_.rose() || !seen_.before) return;
  seen_.counting_over = !waits(*completed_since_, patience_.count_after);
  if (counted_at_ && now - *counted_at_ < patience_.count_between) return;
  counted_at_ = now;
  if (!counter_.read_soon()) seen_.counting_over = true;
}

asio::awaitable<void> TestPrintRun::look(std::int32_t id) {
  auto job = co_await way_->look(id);
  if (!job) {
    trouble_ = job.error().what;
    seen_.forgotten = job.error().kind == Kind::invalid;
    co_return;
  }
  trouble_.clear();
  seen_.job = std::move(*job);
  const auto now = clock_.steady_now();
  if (!is_stopped(*seen_.job)) {
    stopped_since_.reset();
  } else if (!stopped_since_) {
    stopped_since_ = now;
  }
  seen_.stopped_long = stopped_since_ && now - *stopped_since_ >= patience_.stopped;
}

asio::awaitable<TestVerdict> TestPrintRun::follow(std::optional<std::int32_t> job, Sleeper& sleeper) {
  seen_.followed = job.has_value();
  while (true) {
    const bool over = seen_.forgotten || (seen_.job && model::is_over(seen_.job->state));
    if (job && !over) co_await look(*job);
    count();
    seen_.time_over = !waits(sent_, patience_.whole);
    if (const auto verdict = verdict_of(seen_)) co_return *verdict;
    const auto woke = co_await sleeper.until(clock_.steady_now() + patience_.look);
    ended_early_ = ended_early_ || woke == Sleeper::Woke::early;
  }
}

asio::awaitable<model::Result<TestPrintOutcome>> TestPrintRun::run(http::TestPrint asked, testpage::PageContent content,
                                                                   Sleeper& sleeper) {
  TestPrintOutcome outcome;
  outcome.asked = std::move(asked);
  const auto wanted = co_await choose();
  outcome.way = way_->kind();
  outcome.to = way_->to();
  outcome.queue = way_->queue();
  if (wanted) outcome.format = media_type(wanted->format.kind);
  if (!wanted && (outcome.asked.dry_run || wanted.error().kind == Kind::invalid)) co_return wanted.error();
  if (!wanted) {
    outcome.verdict = TestVerdict::not_taken;
    outcome.said = said_of(outcome, wanted.error().what);
    co_return outcome;
  }
  if (outcome.asked.dry_run) {
    outcome.said = said_of(outcome, {});
    co_return outcome;
  }
  outcome.page_id = content.page_id;
  const auto job_name = "Frisket test page " + content.page_id;
  auto page = co_await maker_.make(std::move(content), *wanted);
  if (!page) co_return page.error();
  co_await count_before(sleeper);
  sent_ = clock_.steady_now();
  auto sent = co_await way_->send(job_name, outcome.format, std::move(*page));
  if (!sent) {
    const bool unsure = sent.error().kind == Kind::silent;
    outcome.verdict = TestVerdict::not_taken;
    outcome.said = said_of(outcome, sent.error().what + (unsure ? ". It may print it all the same" : ""));
    co_return outcome;
  }
  outcome.job = *sent;
  outcome.verdict = co_await follow(outcome.job, sleeper);
  if (seen_.job) outcome.reasons = seen_.job->reasons;
  const bool hangs = *outcome.verdict == TestVerdict::stopped || *outcome.verdict == TestVerdict::timed_out ||
                     *outcome.verdict == TestVerdict::aborted;
  if (hangs && !ended_early_) {
    const auto reasons = co_await way_->reasons();
    add_new(outcome.reasons, reasons);
  }
  outcome.impressions_before = seen_.before;
  outcome.impressions_after = seen_.after;
  outcome.said = said_of(outcome, trouble_);
  co_return outcome;
}

std::string said_of(const TestPrintOutcome& outcome, const std::string& trouble) {
  if (!outcome.verdict) return "A test page in " + outcome.format + " would go " + way_words(outcome) + ".";
  const auto why = in_brackets(outcome.reasons);
  const auto last = trouble.empty() ? std::string() : " At the last look: " + trouble + ".";
  switch (*outcome.verdict) {
    case TestVerdict::printed:
      return "The page was printed: the page counter rose from " +
             std::to_string(outcome.impressions_before.value_or(0)) + " to " +
             std::to_string(outcome.impressions_after.value_or(0)) + ".";
    case TestVerdict::completed_uncounted:
      return (outcome.way == TestPrintOutcome::Way::raw_port ? "The printer took the page; "
                                                             : "The printer says that the page is done; ") +
             counter_words(outcome) + ". Look whether it is there.";
    case TestVerdict::stopped:
      return "The printer has stopped" + why + ". The page waits in it as " + job_words(outcome) + ".";
    case TestVerdict::aborted:
      return "The printer gave the page up" + why + ".";
    case TestVerdict::canceled:
      return "Somebody cancelled " + job_words(outcome) + ", the page.";
    case TestVerdict::timed_out:
      return "The page was not over in time" + why + ". It may still come out, as " + job_words(outcome) + "." + last;
    case TestVerdict::not_taken:
      return "The printer did not take the page: " + trouble + ".";
  }
  return {};
}

}  // namespace frisket::service
