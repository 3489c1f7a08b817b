// Reads one device by SNMP: poll() gives one whole reading.
//
// The first poll reads every table; the next ask, in one request, only for what moves by itself
// (watch.h), and read again the tables of which something has moved. Everything is read
// again after a restart of the device and about once an hour.
//
// Keeps what it has learnt of the device between polls (which credential works, which
// objects it lacks, its hrDeviceIndex) and the last snapshot, nothing else. The owner must not start a second
// poll() before the first has ended, and must outlive it.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <memory>
#include <vector>

#include "config/config.h"
#include "probes/clock/clock.h"
#include "probes/model/reading.h"
#include "probes/snmp/network.h"

namespace frisket::snmp {

class DeviceProbe {
 public:
  // `credentials` in the order in which they are tried. The network and the clock must
  // outlive the probe.
  DeviceProbe(Network& network, Clock& clock, const config::Device& device, config::Credentials credentials);
  ~DeviceProbe();

  // Always ends, within a time bounded by the polling settings, with a reading: a failure is
  // a reading whose reach says how the device failed to answer. Part of the Printer MIB
  // missing is no failure: what is missing is absent from the snapshot. Throws only when
  // the coroutine itself is cancelled. A device that stands still gives the same snapshot object
  // again.
  boost::asio::awaitable<model::DeviceReading> poll();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::snmp
