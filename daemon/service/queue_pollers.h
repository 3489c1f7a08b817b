// Polls every spooler, and every queue that is behind none of them.
//
// A spooler's list brings all its queues in one pass, so the queues behind a [[spooler]] have no task of their own. How
// they are asked is the business of the factories that are passed in. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <variant>

#include "config/config.h"
#include "daemon/service/poll_tasks.h"
#include "probes/clock/clock.h"
#include "probes/model/queue.h"

namespace frisket::service {

using QueueAsker = ProbeFor<model::QueueReading>;
using SpoolerAsker = ProbeFor<model::SpoolerReading>;

class QueuePollers {
 public:
  struct Make {
    std::function<std::unique_ptr<QueueAsker>(const config::Queue&)> queue;
    std::function<std::unique_ptr<SpoolerAsker>(const config::Spooler&)> spooler;
  };
  struct Take {
    std::function<void(const model::QueueReading&)> queue;
    std::function<void(const model::SpoolerReading&)> spooler;
  };
  using Counters = PollTasks::Counters;

  QueuePollers(boost::asio::any_io_executor executor, Clock& clock, Make make, Take take);

  // Starts what is new, ends what is gone, restarts what has changed.
  void configure(const config::Config& config);

  // Asks the queue, or the spooler that it is behind, now or once more. An empty `spooler`: it is behind none.
  // False: neither is polled.
  bool poll_soon(const std::string& queue, const std::string& spooler);

  Counters counters() const { return tasks_.counters(); }

  // As PollTasks has them.
  void stop();
  std::size_t running() const { return tasks_.running(); }
  void when_idle(std::function<void()> idle) { tasks_.when_idle(std::move(idle)); }

 private:
  using Settings = std::variant<config::Queue, config::Spooler>;

  void start(const std::string& task, const Settings& settings, std::size_t number);

  Make make_;
  Take take_;
  PollTasks tasks_;
  std::map<std::string, Settings> settings_;  // by the task's name
};

}  // namespace frisket::service
