// One task for each thing that is polled: wait, ask, hand over, wait again.
//
// A slow one holds up only its own task. What is asked, and what becomes of the answer, is the subject's business. On
// the io_context's thread.
#pragma once

#include <array>
#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>

#include "daemon/service/schedule.h"
#include "probes/clock/clock.h"
#include "probes/clock/task_group.h"

namespace frisket::service {

// How one thing is asked.
template <class Reading>
class ProbeFor {
 public:
  virtual ~ProbeFor() = default;

  // Ends in bounded time; failures are readings.
  virtual boost::asio::awaitable<Reading> poll() = 0;
};

// A probe of a layer below as such a probe.
template <class Reading, class Below>
class ProbeOver final : public ProbeFor<Reading> {
 public:
  template <class... Arguments>
  explicit ProbeOver(Arguments&&... arguments) : below_(std::forward<Arguments>(arguments)...) {}

  boost::asio::awaitable<Reading> poll() override { return below_.poll(); }

 private:
  Below below_;
};

class PollTasks {
 public:
  class Subject {
   public:
    virtual ~Subject() = default;

    // Ends in bounded time, and keeps what it learnt. False: no usable answer.
    virtual boost::asio::awaitable<bool> ask() = 0;

    // Hands over what ask() learnt; says how long it is to the next time. Not called once the subject was ended.
    virtual Span take() = 0;
  };

  PollTasks(boost::asio::any_io_executor executor, Clock& clock);
  ~PollTasks();

  // `number`: how many were started before it in the same go (schedule.h).
  void start(const std::string& name, std::unique_ptr<Subject> subject, Span interval, std::size_t number);
  // What is being asked ends by itself, and what it learns is dropped.
  void end(const std::string& name);

  // Asks now if it waits; if it is being asked, once more afterwards. False: there is no such thing.
  bool poll_soon(const std::string& name);

  // From a quick answer to one that came with the last attempt.
  static constexpr std::array<model::Milliseconds, 10> kDurationBounds = {
      model::Milliseconds{5},     model::Milliseconds{10},    model::Milliseconds{25},  model::Milliseconds{50},
      model::Milliseconds{100},   model::Milliseconds{250},   model::Milliseconds{500}, model::Milliseconds{1'000},
      model::Milliseconds{5'000}, model::Milliseconds{30'000}};

  struct Counters {
    std::uint64_t finished = 0;
    std::uint64_t missed = 0;  // no usable answer
    std::uint64_t late = 0;    // started more than half an interval after it was due

    // How many took so long: up to each bound, and at last longer than all of them.
    std::array<std::uint64_t, kDurationBounds.size() + 1> durations{};
    model::Milliseconds time_taken{};  // by all together
  };
  Counters counters() const { return counters_; }

  // Ends every task; what is being asked runs out. running() tells how many tasks are left, and
  // when_idle() calls back once, when none is.
  void stop();
  std::size_t running() const { return tasks_.running(); }
  void when_idle(std::function<void()> idle) { tasks_.when_idle(std::move(idle)); }

 private:
  struct Entry;

  void note_duration(model::Milliseconds taken);
  boost::asio::awaitable<void> run(std::string name, std::shared_ptr<Entry> entry);
  static void end(Entry& entry);

  boost::asio::any_io_executor executor_;
  Clock& clock_;
  TaskGroup tasks_;
  std::map<std::string, std::shared_ptr<Entry>> entries_;  // shared with the running task
  Counters counters_;
};

// A subject that is a probe and a function for its readings.
template <class Reading>
class ProbedSubject final : public PollTasks::Subject {
 public:
  using Take = std::function<Span(const Reading&)>;
  using Usable = bool (*)(const Reading&);

  ProbedSubject(std::unique_ptr<ProbeFor<Reading>> probe, Usable usable, Take take)
      : probe_(std::move(probe)), usable_(usable), take_(std::move(take)) {}

  boost::asio::awaitable<bool> ask() override {
    auto reading = co_await probe_->poll();
    reading_ = std::move(reading);
    co_return usable_(reading_);
  }

  Span take() override { return take_(std::exchange(reading_, Reading{})); }

 private:
  std::unique_ptr<ProbeFor<Reading>> probe_;
  Usable usable_;
  Take take_;
  Reading reading_;
};

}  // namespace frisket::service
