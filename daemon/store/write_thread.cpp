#include "daemon/store/write_thread.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace frisket::store {
namespace {

using model::Done;
using model::Error;
using model::Result;

bool may_help_later(const Result<Done>& result) { return !result && result.error().kind != Error::Kind::invalid; }

// Each record (records_in()) by itself, in order; the rest in one.
std::vector<Batch> pieces_of(Batch whole) {
  std::vector<Batch> pieces;
  for (auto& transition : std::exchange(whole.transitions, {}))
    pieces.emplace_back().transitions.push_back(std::move(transition));
  for (auto& notice : std::exchange(whole.notices, {})) pieces.emplace_back().notices.push_back(std::move(notice));
  for (auto& record : std::exchange(whole.audit, {})) pieces.emplace_back().audit.push_back(std::move(record));
  for (auto& level : std::exchange(whole.stock, {})) pieces.emplace_back().stock.push_back(std::move(level));
  for (auto& done : std::exchange(whole.done, {})) pieces.emplace_back().done.push_back(std::move(done));
  for (auto& said : std::exchange(whole.complaints, {})) pieces.emplace_back().complaints.push_back(std::move(said));
  pieces.push_back(std::move(whole));
  return pieces;
}

// What is done next in one go: a task, or all batches up to the next.
std::vector<Job> group(std::deque<Job>& jobs) {
  std::vector<Job> together;
  do {
    together.push_back(std::move(jobs.front()));
    jobs.pop_front();
  } while (!together.back().task && !jobs.empty() && !jobs.front().task && !jobs.front().again);
  return together;
}

// Once something could not be written, nothing that came after it is, until it has been.
class Scribe {
 public:
  explicit Scribe(Store& store) : store_(store) {}

  // Jobs of one group() only.
  std::vector<Outcome> take(std::vector<Job> jobs) {
    std::vector<Outcome> outcomes;
    if (jobs.front().task)
      outcomes.push_back({jobs.front().task(store_)});
    else
      write(std::move(jobs), outcomes);
    outcomes.back().ends_commit = outcomes.back().of_batch;
    return outcomes;
  }

 private:
  void write(std::vector<Job> jobs, std::vector<Outcome>& outcomes) {
    if (behind_ && !jobs.front().again) return refuse(std::move(jobs), *behind_, outcomes);
    Batch whole = jobs.front().batch;
    for (std::size_t i = 1; i < jobs.size(); ++i) append(whole, jobs[i].batch);
    const auto result = store_.write(whole);
    if (may_help_later(result)) {
      behind_ = result.error();
      return refuse(std::move(jobs), *behind_, outcomes);
    }
    if (!result && jobs.size() > 1) return one_by_one(std::move(jobs), outcomes);
    if (!result) return piecewise(std::move(jobs.front()), result.error(), outcomes);
    behind_.reset();
    for (auto& job : jobs) outcomes.push_back({result, {}, job.again, true});
  }

  // Something in it makes no sense to the store: the rest is kept.
  void piecewise(Job job, const Error& why, std::vector<Outcome>& outcomes) {
    Outcome outcome{why, {}, job.again, true};
    auto pieces = pieces_of(std::move(job.batch));
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const auto result = store_.write(pieces[i]);
      if (may_help_later(result)) {
        behind_ = result.error();
        for (auto rest = i; rest < pieces.size(); ++rest) append(outcome.batch, pieces[rest]);
        outcome.result = *behind_;
        outcomes.push_back(std::move(outcome));
        return;
      }
      if (!result) outcome.lost += records_in(pieces[i]);
    }
    behind_.reset();
    outcomes.push_back(std::move(outcome));
  }

  // One of them makes no sense to the store; the others must not suffer for it.
  void one_by_one(std::vector<Job> jobs, std::vector<Outcome>& outcomes) {
    for (auto& job : jobs) {
      std::vector<Job> alone;
      alone.push_back(std::move(job));
      write(std::move(alone), outcomes);
    }
  }

  static void refuse(std::vector<Job> jobs, const Error& why, std::vector<Outcome>& outcomes) {
    for (auto& job : jobs) outcomes.push_back({why, std::move(job.batch), job.again, true});
  }

  Store& store_;
  std::optional<Error> behind_;
};

}  // namespace

struct WriteThread::Shared {
  std::unique_ptr<Store> store;
  Finished finished;
  std::mutex mutex;
  std::condition_variable changed;
  std::deque<Job> jobs;
  std::vector<Outcome> outcomes;
  bool busy = false;
  bool ending = false;
  bool ended = false;
  bool left_behind = false;
};

WriteThread::WriteThread(std::unique_ptr<Store> store, Finished finished) : shared_(std::make_shared<Shared>()) {
  shared_->store = std::move(store);
  shared_->finished = std::move(finished);
  thread_ = std::thread([shared = shared_] { work(shared); });
}

void WriteThread::work(const std::shared_ptr<Shared>& shared) {
  Scribe scribe(*shared->store);
  std::unique_lock lock(shared->mutex);
  while (true) {
    shared->changed.wait(lock, [&] { return shared->ending || !shared->jobs.empty(); });
    if (shared->jobs.empty()) break;
    auto jobs = group(shared->jobs);
    shared->busy = true;
    lock.unlock();
    auto outcomes = scribe.take(std::move(jobs));
    lock.lock();
    shared->busy = false;
    std::ranges::move(outcomes, std::back_inserter(shared->outcomes));
    shared->changed.notify_all();
    if (!shared->left_behind) shared->finished();
  }
  shared->store.reset();
  shared->ended = true;
  shared->changed.notify_all();
}

void WriteThread::give(Job job) {
  const std::lock_guard lock(shared_->mutex);
  shared_->jobs.push_back(std::move(job));
  shared_->changed.notify_all();
}

std::vector<Outcome> WriteThread::collect() {
  const std::lock_guard lock(shared_->mutex);
  return std::exchange(shared_->outcomes, {});
}

bool WriteThread::settle(std::chrono::milliseconds wait) {
  std::unique_lock lock(shared_->mutex);
  return shared_->changed.wait_for(lock, wait, [&] { return shared_->jobs.empty() && !shared_->busy; });
}

bool WriteThread::end(std::chrono::milliseconds wait) {
  if (!thread_.joinable()) return true;
  bool ended = false;
  {
    std::unique_lock lock(shared_->mutex);
    shared_->ending = true;
    shared_->changed.notify_all();
    ended = shared_->changed.wait_for(lock, wait, [&] { return shared_->ended; });
    shared_->left_behind = !ended;
  }
  if (ended)
    thread_.join();
  else
    thread_.detach();
  return ended;
}

}  // namespace frisket::store
