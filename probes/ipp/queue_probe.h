// Reads print queues: one by its URI, or all of a spooler in one pass.
//
// A probe keeps only its client (the protocol version the peer settled on). The owner must not start
// a second poll() before the first has ended, and must outlive it. Transport and clock must outlive the
// probe.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <string>

#include "probes/clock/clock.h"
#include "probes/ipp/client.h"
#include "probes/model/queue.h"

namespace frisket::ipp {

class QueueProbe {
 public:
  QueueProbe(Transport& transport, Clock& clock, std::string name, Target target)
      : clock_(clock), name_(std::move(name)), client_(transport, std::move(target)) {}

  // Always ends with a reading, within twice Limits::exchange. Two requests: the queue, then its jobs.
  boost::asio::awaitable<model::QueueReading> poll();

  Client& client() { return client_; }  // for Control

 private:
  Clock& clock_;
  std::string name_;
  Client client_;
};

// One poll is two requests, however many queues there are.
class SpoolerProbe {
 public:
  // The target's path does not matter: the spooler as a whole is asked.
  SpoolerProbe(Transport& transport, Clock& clock, std::string name, Target target);

  boost::asio::awaitable<model::SpoolerReading> poll();

  Client& client() { return client_; }

 private:
  Clock& clock_;
  std::string name_;
  Client client_;
};

}  // namespace frisket::ipp
