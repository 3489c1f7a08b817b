// What the service manager that started the daemon is told: it is ready, reloads, stops, is alive, and how it is.
//
// The protocol of sd_notify(3): one datagram of NAME=value lines for each telling, to the UNIX socket that
// NOTIFY_SOCKET names. Nobody asked for it: every call does nothing. No call blocks or fails: what does not get out
// since the manager has not read for a while is told again with the next call; another failure is logged once. On the
// io_context's thread, which is the point: who is alive is the thread that everything else needs.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <optional>
#include <string>

#include "probes/model/time.h"

namespace frisket::service {

class ServiceManager {
 public:
  // The words of the environment; empty where not there.
  struct Invitation {
    std::string socket;         // NOTIFY_SOCKET: a path, or "@" and an abstract name
    std::string watchdog_usec;  // WATCHDOG_USEC: microseconds without a sign of life after which we are ended
    std::string watchdog_pid;   // WATCHDOG_PID: whom that is meant for; empty: whoever reads it
  };
  static Invitation invitation();

  explicit ServiceManager(const Invitation& invitation);
  ~ServiceManager();
  ServiceManager(const ServiceManager&) = delete;
  ServiceManager& operator=(const ServiceManager&) = delete;

  // READY=1: the start, or the reload, is over.
  void ready();
  // RELOADING=1, to be followed by ready().
  void reloading(model::SteadyTime now);
  // STOPPING=1.
  void stopping();
  // WATCHDOG=1. Call every beat().
  void alive();
  // STATUS=, one line for people; told only if it is another than before.
  void status(const std::string& line);

  // Half of what the watchdog allows (sd_watchdog_enabled(3)); none if no sign of life is asked for.
  std::optional<std::chrono::microseconds> beat() const { return beat_; }

 private:
  void tell(const std::string& state);
  bool send(const std::string& message);

  int socket_ = -1;
  std::string address_;  // as in sockaddr_un
  std::optional<std::chrono::microseconds> beat_;
  std::string status_;
  std::string owed_;  // the last state that did not get out
  bool complained_ = false;
};

}  // namespace frisket::service
