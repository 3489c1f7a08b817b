// An operation with a deadline: whichever ends first.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/asio/experimental/awaitable_operators.hpp>
#include <optional>
#include <utility>

#include "probes/clock/clock.h"

namespace frisket {

// The work's value, or nothing if the clock reached `due` first; the work is then cancelled, and has
// ended when this returns. The work must not throw: its errors are values, or the race would wait on. T is
// default constructible.
template <class T>
boost::asio::awaitable<std::optional<T>> within(Clock& clock, model::SteadyTime due, boost::asio::awaitable<T> work) {
  using namespace boost::asio::experimental::awaitable_operators;
  auto limit = clock.sleep_until(due);
  auto race = std::move(work) || std::move(limit);
  auto outcome = co_await std::move(race);
  std::optional<T> result;
  if (outcome.index() == 0) result.emplace(std::get<0>(std::move(outcome)));
  co_return result;
}

}  // namespace frisket
