// Reads a printer that speaks IPP, with or without SNMP: poll() gives one whole reading.
//
// The owner must not start a second poll() before the first has ended, and must outlive it. Transport and
// clock must outlive the probe.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <string>

#include "probes/clock/clock.h"
#include "probes/ipp/client.h"
#include "probes/model/reading.h"

namespace frisket::ipp {

class DeviceProbe {
 public:
  DeviceProbe(Transport& transport, Clock& clock, std::string device, Target target)
      : clock_(clock), device_(std::move(device)), client_(transport, std::move(target)) {}

  // Always ends, within twice Limits::exchange, with a reading: a failure is a reading whose reach
  // says how the printer failed to answer. One request.
  boost::asio::awaitable<model::DeviceReading> poll();

  Client& client() { return client_; }  // for Control: the test print

 private:
  Clock& clock_;
  std::string device_;
  Client client_;
};

}  // namespace frisket::ipp
