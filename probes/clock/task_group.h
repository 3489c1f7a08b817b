// Every coroutine that runs on its own belongs to a TaskGroup.
//
// A group counts what runs, so that shutting down can ask politely, wait a bounded time
// and then insist; and it hands over what escaped from a task, which `detached` would
// swallow. On the io_context's thread. The group must outlive its tasks: wait until
// running() is 0, or destroy the io_context first.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <cstddef>
#include <exception>
#include <functional>
#include <string>
#include <utility>

namespace frisket {

class TaskGroup {
 public:
  // Called with the task's name and what escaped from it.
  using Escaped = std::function<void(const std::string& task, std::exception_ptr what)>;

  TaskGroup(boost::asio::any_io_executor executor, Escaped escaped)
      : executor_(std::move(executor)), escaped_(std::move(escaped)) {}
  TaskGroup(const TaskGroup&) = delete;
  TaskGroup& operator=(const TaskGroup&) = delete;

  void spawn(std::string name, boost::asio::awaitable<void> task) {
    ++running_;
    auto ended = [this, name = std::move(name)](std::exception_ptr what) {
      --running_;
      if (what && escaped_) escaped_(name, what);
      if (running_ == 0 && idle_) std::exchange(idle_, nullptr)();
    };
    boost::asio::co_spawn(executor_, std::move(task), std::move(ended));
  }

  std::size_t running() const { return running_; }

  // Calls back once, when nothing runs any more; at once if nothing does.
  void when_idle(std::function<void()> idle) {
    if (running_ == 0) return idle();
    idle_ = std::move(idle);
  }

 private:
  boost::asio::any_io_executor executor_;
  Escaped escaped_;
  std::size_t running_ = 0;
  std::function<void()> idle_;
};

}  // namespace frisket
