// The only place that knows what time it is.
//
// Everything that needs the time or has to wait is given a Clock: the daemon a
// SystemClock, tests a SimulatedClock (tests/unit/simulated_clock.h) that moves only
// when told to. Used on the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <memory>

#include "probes/model/time.h"

namespace frisket {

// One place to wait, which can be woken early. At most one coroutine waits at a time.
class Sleeper {
 public:
  enum class Woke { due, early };

  virtual ~Sleeper() = default;

  // Completes when the clock has reached `due` (at once if it already has), or when
  // wake() is called. Never throws.
  virtual boost::asio::awaitable<Woke> until(model::SteadyTime due) = 0;

  // Ends the present wait early, or the next one at once if nobody waits.
  virtual void wake() = 0;
};

class Clock {
 public:
  virtual ~Clock() = default;

  virtual model::SteadyTime steady_now() const = 0;

  // UTC, to the millisecond. May step when the machine's clock is set.
  virtual model::WallTime wall_now() const = 0;

  // The sleeper must not outlive the clock or the executor's context.
  virtual std::unique_ptr<Sleeper> make_sleeper(boost::asio::any_io_executor executor) = 0;

  // Completes when steady_now() has reached `due`, at once if it already has. Cannot be
  // woken: for that, hold a Sleeper.
  boost::asio::awaitable<void> sleep_until(model::SteadyTime due);
};

class SystemClock final : public Clock {
 public:
  model::SteadyTime steady_now() const override;
  model::WallTime wall_now() const override;
  std::unique_ptr<Sleeper> make_sleeper(boost::asio::any_io_executor executor) override;
};

}  // namespace frisket
