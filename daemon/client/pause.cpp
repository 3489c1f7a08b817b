#include "daemon/client/pause.h"

#include <poll.h>
#include <pthread.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>

namespace frisket::client {
namespace {

::sigset_t stop_signals() {
  ::sigset_t set;
  ::sigemptyset(&set);
  ::sigaddset(&set, SIGINT);
  ::sigaddset(&set, SIGTERM);
  return set;
}

}  // namespace

SignalPause::SignalPause() {
  const ::sigset_t set = stop_signals();
  descriptor_ = ::signalfd(-1, &set, SFD_CLOEXEC | SFD_NONBLOCK);
  if (descriptor_ >= 0) ::pthread_sigmask(SIG_BLOCK, &set, nullptr);
}

SignalPause::~SignalPause() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

// Whatever else wakes the poll makes the wait shorter: nobody here counts on its length.
bool SignalPause::wait(std::chrono::milliseconds time) {
  constexpr std::int64_t kLongest = 3'600'000;
  ::pollfd waited{.fd = descriptor_, .events = POLLIN, .revents = 0};
  return ::poll(&waited, 1, static_cast<int>(std::clamp<std::int64_t>(time.count(), 0, kLongest))) <= 0;
}

}  // namespace frisket::client
