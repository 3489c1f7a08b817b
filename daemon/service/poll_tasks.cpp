#include "daemon/service/poll_tasks.h"

#include <spdlog/spdlog.h>

#include <algorithm>

namespace frisket::service {
namespace {

namespace asio = boost::asio;

void log_end(const std::string& task, std::exception_ptr what) {
  try {
    std::rethrow_exception(what);
  } catch (const std::exception& failure) {
    spdlog::error("[poll-task-ended] polling {} ended by an internal error: {}", task, failure.what());
  }
}

}  // namespace

struct PollTasks::Entry {
  std::unique_ptr<Subject> subject;
  std::unique_ptr<Sleeper> sleeper;
  Span interval{};
  model::SteadyTime due;
  bool ended = false;
};

PollTasks::PollTasks(asio::any_io_executor executor, Clock& clock)
    : executor_(executor), clock_(clock), tasks_(executor, log_end) {}

PollTasks::~PollTasks() = default;

void PollTasks::start(const std::string& name, std::unique_ptr<Subject> subject, Span interval, std::size_t number) {
  end(name);
  auto entry = std::make_shared<Entry>();
  entry->subject = std::move(subject);
  entry->sleeper = clock_.make_sleeper(executor_);
  entry->interval = interval;
  entry->due = clock_.steady_now() + first_delay(number);
  entries_.emplace(name, entry);
  tasks_.spawn(name, run(name, entry));
}

void PollTasks::end(const std::string& name) {
  const auto found = entries_.find(name);
  if (found == entries_.end()) return;
  end(*found->second);
  entries_.erase(found);
}

void PollTasks::end(Entry& entry) {
  entry.ended = true;
  entry.sleeper->wake();
}

asio::awaitable<void> PollTasks::run(std::string name, std::shared_ptr<Entry> entry) {
  auto beat = beat_of(name, entry->interval);
  while (true) {
    const auto woke = co_await entry->sleeper->until(entry->due);
    if (entry->ended) co_return;
    const auto started = clock_.steady_now();
    if (woke == Sleeper::Woke::due && started - entry->due > beat.interval / 2) ++counters_.late;

    const bool usable = co_await entry->subject->ask();
    if (entry->ended) co_return;
    ++counters_.finished;
    note_duration(std::chrono::duration_cast<model::Milliseconds>(clock_.steady_now() - started));
    if (!usable) ++counters_.missed;
    beat = beat_of(name, entry->subject->take());
    if (entry->ended) co_return;
    entry->due = next_due(beat, started, clock_.steady_now());
  }
}

void PollTasks::note_duration(model::Milliseconds taken) {
  const auto bound = std::ranges::lower_bound(kDurationBounds, taken);
  ++counters_.durations[static_cast<std::size_t>(bound - kDurationBounds.begin())];
  counters_.time_taken += taken;
}

bool PollTasks::poll_soon(const std::string& name) {
  const auto found = entries_.find(name);
  if (found == entries_.end()) return false;
  found->second->sleeper->wake();
  return true;
}

void PollTasks::stop() {
  for (auto& [name, entry] : entries_) end(*entry);
  entries_.clear();
}

}  // namespace frisket::service
