// Waiting in a test for what really happens: sockets, not time.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <chrono>
#include <exception>
#include <functional>
#include <optional>
#include <stdexcept>
#include <utility>

namespace frisket::testing {

namespace asio = boost::asio;

// Runs the context until it is so. The guard only ends a test that has failed.
inline void run_until(asio::io_context& context, const std::function<bool()>& so) {
  const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
  while (!so()) {
    if (std::chrono::steady_clock::now() > end) throw std::runtime_error("what the test waits for did not happen");
    context.restart();
    context.run_one_for(std::chrono::milliseconds(20));
  }
}

// Spawns the work; its value is there once it has ended.
template <class T>
class Pending {
 public:
  Pending(asio::io_context& context, asio::awaitable<T> work) : context_(context) {
    asio::co_spawn(context, run(std::move(work)), [this](std::exception_ptr failed) { failure_ = failed; });
  }
  Pending(const Pending&) = delete;
  Pending& operator=(const Pending&) = delete;

  bool done() const { return value_.has_value() || failure_; }
  T& get() {
    run_until(context_, [this] { return done(); });
    if (failure_) std::rethrow_exception(failure_);
    return *value_;
  }

 private:
  asio::awaitable<void> run(asio::awaitable<T> work) { value_.emplace(co_await std::move(work)); }

  asio::io_context& context_;
  std::exception_ptr failure_;
  std::optional<T> value_;
};

}  // namespace frisket::testing
