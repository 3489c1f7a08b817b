// Time that moves only when a test says so.
//
// advance() wakes the sleepers in order of their due time and lets the io_context run
// until nothing is left to do after each, so that what happens at 00:10 is finished before
// 00:20 comes. No real waiting anywhere.
#pragma once

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <map>
#include <memory>
#include <utility>

#include "probes/clock/clock.h"

namespace frisket::testing {

class SimulatedClock final : public Clock {
 public:
  explicit SimulatedClock(boost::asio::io_context& context) : context_(context) {}

  model::SteadyTime steady_now() const override { return now_; }
  model::WallTime wall_now() const override {
    return start_of_wall_ + std::chrono::floor<model::Milliseconds>(now_ - model::SteadyTime{});
  }

  std::unique_ptr<Sleeper> make_sleeper(boost::asio::any_io_executor executor) override {
    return std::make_unique<Waiting>(*this, std::move(executor));
  }

  // Runs what is ready, then moves on by `span`, stopping at every due time on the way.
  void advance(model::SteadyTime::duration span) {
    const auto end = now_ + span;
    settle();
    while (!due_.empty() && due_.begin()->first <= end) {
      now_ = std::max(now_, due_.begin()->first);
      auto* sleeper = due_.begin()->second;
      due_.erase(due_.begin());
      sleeper->ring();
      settle();
    }
    now_ = end;
    settle();
  }

  // Lets everything that is ready run.
  void settle() {
    context_.restart();
    while (context_.poll() > 0) context_.restart();
  }

  std::size_t sleeping() const { return due_.size(); }

 private:
  class Waiting final : public Sleeper {
   public:
    Waiting(SimulatedClock& clock, boost::asio::any_io_executor executor)
        : clock_(clock), bell_(std::move(executor), boost::asio::steady_timer::time_point::max()) {}
    ~Waiting() override { leave(); }

    boost::asio::awaitable<Woke> until(model::SteadyTime due) override {
      if (std::exchange(woken_, false)) co_return Woke::early;
      if (due > clock_.now_) {
        place_ = clock_.due_.emplace(due, this);
        waiting_ = true;
        co_await bell_.async_wait(boost::asio::as_tuple(boost::asio::use_awaitable));
        leave();
      }
      co_return std::exchange(woken_, false) ? Woke::early : Woke::due;
    }

    void wake() override {
      woken_ = true;
      if (!waiting_) return;
      leave();
      bell_.cancel();
    }

    void ring() {
      waiting_ = false;  // already taken out of the list
      bell_.cancel();
    }

   private:
    void leave() {
      if (std::exchange(waiting_, false)) clock_.due_.erase(place_);
    }

    SimulatedClock& clock_;
    boost::asio::steady_timer bell_;
    std::multimap<model::SteadyTime, Waiting*>::iterator place_;
    bool waiting_ = false;
    bool woken_ = false;
  };

  boost::asio::io_context& context_;
  model::SteadyTime now_{};
  model::WallTime start_of_wall_{std::chrono::sys_days{std::chrono::year{2026} / 1 / 5} + std::chrono::hours{8}};
  std::multimap<model::SteadyTime, Waiting*> due_;
};

}  // namespace frisket::testing
