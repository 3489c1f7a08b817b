#include "probes/clock/clock.h"

#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace frisket {

model::SteadyTime SystemClock::steady_now() const { return std::chrono::steady_clock::now(); }

model::WallTime SystemClock::wall_now() const {
  return std::chrono::floor<model::Milliseconds>(std::chrono::system_clock::now());
}

boost::asio::awaitable<void> SystemClock::sleep_until(model::SteadyTime due) {
  boost::asio::steady_timer timer(co_await boost::asio::this_coro::executor);
  timer.expires_at(due);
  co_await timer.async_wait(boost::asio::use_awaitable);
}

}  // namespace frisket
