// Delivers the notices that the outbox holds, each at least once.
//
// For one hook, the notices of one incident leave one after the other, in order: the next one only when the
// one before was delivered or given up. Different incidents go at the same time, Hook::parallel at most. What
// failed is tried again after 1 s, 2 s, 4 s and so on up to 10 min, give or take a fifth, or when the receiver
// asked for it. It is given up (parked) after Hook::give_up_after, or when the receiver has refused it a few
// times. One that was unreachable gets everything at once when it is back. A hook that collects (digest) has
// one line for all incidents, and what is due in it goes as one message. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "daemon/hooks/transport.h"
#include "probes/clock/clock.h"

namespace frisket::hooks {

using incidents::Notice;

class Delivery {
 public:
  using Transports = std::map<config::Hook::Type, std::shared_ptr<Transport>>;
  // A notice is delivered or parked; its state, attempts and trouble say so. May call take().
  using Settled = std::function<void(const Notice&)>;

  static constexpr std::chrono::seconds kFirstPause{1};
  static constexpr std::chrono::seconds kLongestPause{600};
  static constexpr std::chrono::seconds kLongestWish{3600};  // that a receiver may have to wait
  static constexpr int kLeastAttempts = 3;                   // before anything is given up
  static constexpr int kMostRefusals = 3;                    // then it is given up

  // The clock must outlive the io_context's run. `seed` is of the jitter.
  Delivery(boost::asio::any_io_executor executor, Clock& clock, Transports transports, std::uint64_t seed,
           Settled settled);
  ~Delivery();

  // Attempts under way go on; what waits for a hook that is gone is forgotten.
  void configure(const std::vector<config::Hook>& hooks);

  // Notices that are written: new ones, those that wait since before a restart, and those that changed. Returns
  // at once; attempts begin in the next turns of the io_context.
  void take(const std::vector<Notice>& notices);

  // One attempt to tell this notice at once, outside of all lines.
  void send_now(const Notice& notice, Transport::Done done);

  struct Counters {
    std::uint64_t started = 0;    // attempts
    std::uint64_t succeeded = 0;  // of these
    std::uint64_t failed = 0;
    std::uint64_t timed_out = 0;
    std::uint64_t parked = 0;   // notices that were given up
    std::uint64_t waiting = 0;  // notices, now
    std::uint64_t running = 0;  // attempts, now
  };
  Counters counters() const;

  // Of one hook, since it was first configured.
  struct OfHook {
    std::uint64_t waiting = 0;  // notices, now
    std::uint64_t told = 0;     // notices
    std::uint64_t failed = 0;   // attempts
    std::uint64_t parked = 0;   // notices that were given up
  };
  std::map<std::string, OfHook> each() const;

  // Takes no more and ends what is under way; returns when it is gone, which may take 1.5 s if a program
  // resists. Call before the io_context is destroyed.
  void stop();

 private:
  struct State;
  std::shared_ptr<State> state_;  // shared with the attempts under way
};

}  // namespace frisket::hooks
