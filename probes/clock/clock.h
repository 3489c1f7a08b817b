// The only place that knows what time it is.
//
// Everything that needs the time or has to wait is given a Clock: the daemon a
// SystemClock, tests a SimulatedClock (tests/unit/simulated_clock.h) that moves only
// when told to. Used on the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include "probes/model/time.h"

namespace frisket {

class Clock {
 public:
  virtual ~Clock() = default;

  virtual model::SteadyTime steady_now() const = 0;

  // UTC, to the millisecond. May step when the machine's clock is set.
  virtual model::WallTime wall_now() const = 0;

  // Completes when steady_now() has reached `due`, at once if it already has, and never
  // early. Cancelled through the awaiting coroutine's cancellation slot, it ends with
  // operation_aborted thrown, as Asio's own timers do.
  virtual boost::asio::awaitable<void> sleep_until(model::SteadyTime due) = 0;
};

class SystemClock final : public Clock {
 public:
  model::SteadyTime steady_now() const override;
  model::WallTime wall_now() const override;
  boost::asio::awaitable<void> sleep_until(model::SteadyTime due) override;
};

}  // namespace frisket
