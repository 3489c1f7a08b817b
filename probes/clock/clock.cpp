#include "probes/clock/clock.h"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <utility>

namespace frisket {
namespace {

namespace asio = boost::asio;

class TimerSleeper final : public Sleeper {
 public:
  explicit TimerSleeper(asio::any_io_executor executor) : timer_(std::move(executor)) {}

  asio::awaitable<Woke> until(model::SteadyTime due) override {
    if (std::exchange(woken_, false)) co_return Woke::early;
    timer_.expires_at(due);
    waiting_ = true;
    co_await timer_.async_wait(asio::as_tuple(asio::use_awaitable));
    waiting_ = false;
    co_return std::exchange(woken_, false) ? Woke::early : Woke::due;
  }

  void wake() override {
    woken_ = true;
    if (waiting_) timer_.cancel();
  }

 private:
  asio::steady_timer timer_;
  bool waiting_ = false;
  bool woken_ = false;
};

}  // namespace

asio::awaitable<void> Clock::sleep_until(model::SteadyTime due) {
  const auto sleeper = make_sleeper(co_await asio::this_coro::executor);
  co_await sleeper->until(due);
}

model::SteadyTime SystemClock::steady_now() const { return std::chrono::steady_clock::now(); }

model::WallTime SystemClock::wall_now() const {
  return std::chrono::floor<model::Milliseconds>(std::chrono::system_clock::now());
}

std::unique_ptr<Sleeper> SystemClock::make_sleeper(asio::any_io_executor executor) {
  return std::make_unique<TimerSleeper>(std::move(executor));
}

}  // namespace frisket
