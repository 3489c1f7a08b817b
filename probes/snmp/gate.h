// So many at once: the others wait in line.
//
// A full reading holds some tens of kilobytes until it is decoded. At the start of a large fleet thousands would be
// under way together, and what they leave behind in the heap would stay. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/steady_timer.hpp>
#include <cstddef>
#include <deque>
#include <utility>

namespace frisket::snmp {

class Gate {
 public:
  Gate(boost::asio::any_io_executor executor, std::size_t places) : executor_(std::move(executor)), free_(places) {}
  Gate(const Gate&) = delete;
  Gate& operator=(const Gate&) = delete;

  // A place, given back at its end. The gate must outlive it.
  class Pass {
   public:
    explicit Pass(Gate& gate) : gate_(&gate) {}
    Pass(Pass&& other) noexcept : gate_(std::exchange(other.gate_, nullptr)) {}
    Pass& operator=(Pass&&) = delete;
    ~Pass() {
      if (gate_ != nullptr) gate_->leave();
    }

   private:
    Gate* gate_;
  };

  // Waits for a place, in order of arrival. Throws only when the coroutine is cancelled.
  boost::asio::awaitable<Pass> enter();

  std::size_t waiting() const { return line_.size(); }

 private:
  void leave();

  boost::asio::any_io_executor executor_;
  std::size_t free_;
  std::deque<boost::asio::steady_timer*> line_;  // only places to wait; woken when the place is theirs
};

}  // namespace frisket::snmp
