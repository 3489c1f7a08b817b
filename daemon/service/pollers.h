// Polls every configured device.
//
// Which protocol is spoken is the probe's business: the factory that is passed in decides. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "config/config.h"
#include "daemon/service/poll_tasks.h"
#include "daemon/service/schedule.h"
#include "probes/clock/clock.h"
#include "probes/model/reading.h"

namespace frisket::service {

using Probe = ProbeFor<model::DeviceReading>;

class Pollers {
 public:
  // With the credentials that the device names, in its order; none where it is not asked over SNMP.
  using MakeProbe =
      std::function<std::unique_ptr<Probe>(const config::Device&, config::Credentials, const config::Config&)>;
  // Takes a reading, and says how soon the next is wanted.
  using OnReading = std::function<Pace(const model::DeviceReading&)>;
  using Counters = PollTasks::Counters;

  Pollers(boost::asio::any_io_executor executor, Clock& clock, MakeProbe make_probe, OnReading on_reading);

  // Starts what is new, ends what is gone, restarts what has changed (the device's own
  // settings or the credentials it names). A poll under way ends by itself; its reading is
  // dropped if the device has changed meanwhile.
  void configure(const config::Config& config);

  // Polls the device now if it is waiting; if it is being polled, once more afterwards.
  // False for an unknown device.
  bool poll_soon(const std::string& device) { return tasks_.poll_soon(device); }

  Counters counters() const { return tasks_.counters(); }

  // As PollTasks has them.
  void stop();
  std::size_t running() const { return tasks_.running(); }
  void when_idle(std::function<void()> idle) { tasks_.when_idle(std::move(idle)); }

 private:
  // What a task was started with; shared with it.
  struct Settings {
    config::Device device;
    config::Credentials credentials;
  };

  void start(Settings with, const config::Config& config, std::size_t number);

  MakeProbe make_probe_;
  OnReading on_reading_;
  PollTasks tasks_;
  std::map<std::string, std::shared_ptr<const Settings>> settings_;
};

}  // namespace frisket::service
