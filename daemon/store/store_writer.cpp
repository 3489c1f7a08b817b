#include "daemon/store/store_writer.h"

#include <algorithm>
#include <boost/asio/execution/outstanding_work.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/prefer.hpp>
#include <deque>
#include <utility>

#include "daemon/store/write_thread.h"

namespace frisket::store {
namespace {

namespace asio = boost::asio;
using model::Done;
using model::Error;
using model::Result;
using model::SteadyTime;

template <class T>
std::size_t drop_oldest(std::vector<T>& list, std::size_t most) {
  if (list.size() <= most) return 0;
  const auto excess = list.size() - most;
  list.erase(list.begin(), list.begin() + static_cast<std::ptrdiff_t>(excess));
  return excess;
}

template <class T>
std::size_t drop_oldest(std::vector<T>& older, std::vector<T>& newer, std::size_t most) {
  return drop_oldest(older, most - std::min(most, newer.size())) + drop_oldest(newer, most);
}

}  // namespace

struct StoreWriter::Desk : std::enable_shared_from_this<Desk> {
  Desk(asio::any_io_executor its_executor, Bounds its_bounds) : executor(std::move(its_executor)), bounds(its_bounds) {}

  struct Waiting {
    Written done;
    SteadyTime since = SteadyTime::max();  // a task is waited for as long as it takes
    bool told = false;
  };

  void send(Job job, Waiting waiting) {
    if (!job.task && !job.again) ++first_tries;
    if (under_way.empty()) working = asio::prefer(executor, asio::execution::outstanding_work.tracked);
    under_way.push_back(std::move(waiting));
    thread->give(std::move(job));
  }

  void answer_soon(Written done, Error why) {
    if (!done) return;
    asio::post(executor, [weak = weak_from_this(), done = std::move(done), why = std::move(why)] {
      const auto desk = weak.lock();
      if (desk && desk->thread) done(why);
    });
  }

  void collect_and_tell() {
    if (!thread) return;
    for (auto& outcome : thread->collect()) {
      const auto waiting = take(outcome);
      if (waiting.done && !waiting.told && thread) waiting.done(outcome.result);
    }
  }

  Waiting take(Outcome& outcome) {
    auto waiting = std::move(under_way.front());
    under_way.pop_front();
    if (outcome.of_batch) note(outcome);
    if (outcome.ends_commit) ++commits;
    if (under_way.empty()) working = {};
    return waiting;
  }

  void note(Outcome& outcome) {
    if (!outcome.again) --first_tries;
    if (outcome.result) {
      ++written;
      if (outcome.again) caught_up();
    } else if (outcome.result.error().kind == Error::Kind::invalid) {
      lost += outcome.lost;
      if (outcome.again) caught_up();
    } else {
      keep_back(std::move(outcome));
    }
  }

  void caught_up() {
    trying = false;
    pause = bounds.first_pause;
    retry_at = SteadyTime::min();  // what came meanwhile goes at the next tick
    if (kept_back.empty() && come_since.empty()) trouble.clear();
  }

  void keep_back(Outcome outcome) {
    trouble = outcome.result.error().text();
    if (outcome.again) {
      trying = false;
      append(outcome.batch, kept_back);
      kept_back = std::move(outcome.batch);
      pause = std::min(2 * pause, bounds.longest_pause);
    } else {
      append(kept_back, outcome.batch);
    }
    retry_at = now + pause;
    bound();
  }

  void bound() {
    lost += drop_oldest(kept_back.transitions, come_since.transitions, bounds.kept_back);
    lost += drop_oldest(kept_back.notices, come_since.notices, bounds.kept_back);
    lost += drop_oldest(kept_back.audit, come_since.audit, bounds.kept_back);
    lost += drop_oldest(kept_back.stock, come_since.stock, bounds.kept_back);
    lost += drop_oldest(kept_back.done, come_since.done, bounds.kept_back);
    lost += drop_oldest(kept_back.complaints, come_since.complaints, bounds.kept_back);
    drop_oldest(kept_back.history, come_since.history, bounds.kept_history);
    drop_oldest(kept_back.readings, come_since.readings, bounds.kept_readings);
  }

  // Not before every batch has come back that was sent before the trouble was known: their place is between what was
  // kept back and what came since.
  bool may_try() const { return !trouble.empty() && !trying && first_tries == 0; }

  void try_again() {
    append(kept_back, std::exchange(come_since, {}));
    trying = true;
    send({std::exchange(kept_back, {}), {}, true}, {});
  }

  // Those that wait for the thread are told now, so that nobody is told before them.
  void tell_all(const Error& why) {
    for (auto& waiting : under_way) {
      if (waiting.told || !waiting.done || waiting.since == SteadyTime::max()) continue;
      waiting.told = true;
      answer_soon(waiting.done, why);
    }
  }

  // The oldest batch has waited too long; also behind a task.
  bool hangs() const {
    const auto oldest = std::ranges::find_if(under_way, [](const auto& one) { return one.since != SteadyTime::max(); });
    return oldest != under_way.end() && now - oldest->since >= bounds.patience;
  }

  Error hanging() const {
    return {Error::Kind::local, "writing to the store", "",
            "the disk has not answered for " + std::to_string(bounds.patience.count()) + " s"};
  }

  asio::any_io_executor executor;
  Bounds bounds;
  std::unique_ptr<WriteThread> thread;
  std::deque<Waiting> under_way;
  asio::any_io_executor working;  // while something is under way: keeps the io_context running
  Batch kept_back;                // older than the batches under way, but for one that is tried again
  Batch come_since;               // younger than all of them: what came after the trouble was known
  std::size_t first_tries = 0;    // batches under way for the first time
  SteadyTime now{};
  SteadyTime retry_at = SteadyTime::min();
  std::chrono::seconds pause = bounds.first_pause;
  bool trying = false;  // what was kept back is under way
  std::string trouble;
  std::uint64_t written = 0;
  std::uint64_t commits = 0;
  std::uint64_t lost = 0;
};

StoreWriter::StoreWriter(std::unique_ptr<Store> store, asio::any_io_executor executor, Bounds bounds)
    : desk_(std::make_shared<Desk>(std::move(executor), bounds)) {
  auto back = [weak = std::weak_ptr(desk_), executor = desk_->executor] {
    asio::post(executor, [weak] {
      if (const auto desk = weak.lock()) desk->collect_and_tell();
    });
  };
  desk_->thread = std::make_unique<WriteThread>(std::move(store), std::move(back));
}

StoreWriter::~StoreWriter() { stop(); }

void StoreWriter::write(Batch batch, SteadyTime now, Written done) {
  auto& desk = *desk_;
  desk.now = std::max(desk.now, now);
  if (!desk.thread) return;
  if (!desk.trouble.empty()) {
    const Error why{Error::Kind::local, "writing to the store", "", desk.trouble};
    append(desk.come_since, batch);
    desk.bound();
    desk.tell_all(why);
    return desk.answer_soon(std::move(done), why);
  }
  desk.send({std::move(batch), {}, false}, {std::move(done), desk.now});
  if (desk.hangs()) desk.tell_all(desk.hanging());
}

void StoreWriter::run(Task task, Written done) {
  if (desk_->thread) desk_->send({{}, std::move(task), false}, {std::move(done)});
}

void StoreWriter::tick(SteadyTime now) {
  auto& desk = *desk_;
  desk.now = std::max(desk.now, now);
  if (!desk.thread) return;
  if (desk.hangs()) desk.tell_all(desk.hanging());
  if (desk.may_try() && desk.now >= desk.retry_at) desk.try_again();
}

StoreWriter::State StoreWriter::state() const {
  const auto& desk = *desk_;
  State state{desk.trouble, desk.under_way.size(), records_in(desk.kept_back) + records_in(desk.come_since),
              desk.written, desk.commits,          desk.lost};
  if (state.trouble.empty() && desk.hangs()) state.trouble = desk.hanging().text();
  return state;
}

void StoreWriter::stop() {
  auto& desk = *desk_;
  if (!desk.thread) return;
  const auto half = std::chrono::milliseconds(desk.bounds.stop_wait) / 2;
  if (desk.thread->settle(half)) {
    for (auto& outcome : desk.thread->collect()) desk.take(outcome);
    if (desk.may_try()) desk.try_again();
  }
  desk.thread->end(half);
  desk.thread.reset();
  desk.working = {};
}

}  // namespace frisket::store
