// One task for each device: wait, poll, hand the reading over, wait again.
//
// A slow device holds up only its own task. Which protocol is spoken is the probe's
// business: the factory that is passed in decides. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>

#include "config/config.h"
#include "daemon/service/schedule.h"
#include "probes/clock/clock.h"
#include "probes/clock/task_group.h"
#include "probes/model/reading.h"

namespace frisket::service {

class Probe {
 public:
  virtual ~Probe() = default;

  // Ends in bounded time; failures are readings.
  virtual boost::asio::awaitable<model::DeviceReading> poll() = 0;
};

class Pollers {
 public:
  using MakeProbe = std::function<std::unique_ptr<Probe>(const config::Device&, const config::Config&)>;
  // Takes a reading, and says how soon the next is wanted.
  using OnReading = std::function<Pace(const model::DeviceReading&)>;

  Pollers(boost::asio::any_io_executor executor, Clock& clock, MakeProbe make_probe, OnReading on_reading);
  ~Pollers();

  // Starts what is new, ends what is gone, restarts what has changed (the device's own
  // settings or the credentials it names). A poll under way ends by itself; its reading is
  // dropped if the device has changed meanwhile.
  void configure(const config::Config& config);

  // Polls the device now if it is waiting; if it is being polled, once more afterwards.
  // False for an unknown device.
  bool poll_soon(const std::string& device);

  struct Counters {
    std::uint64_t finished = 0;
    std::uint64_t missed = 0;  // the device gave no usable answer
    std::uint64_t late = 0;    // started more than half an interval after it was due
  };
  Counters counters() const { return counters_; }

  // Ends every task; polls under way run out. running() tells how many tasks are left, and
  // when_idle() calls back once, when none is.
  void stop();
  std::size_t running() const { return tasks_.running(); }
  void when_idle(std::function<void()> idle) { tasks_.when_idle(std::move(idle)); }

 private:
  struct Entry;

  boost::asio::awaitable<void> run(std::shared_ptr<Entry> entry);
  void start(const config::Device& device, const config::Config& config, std::size_t number);
  static void end(Entry& entry);

  boost::asio::any_io_executor executor_;
  Clock& clock_;
  MakeProbe make_probe_;
  OnReading on_reading_;
  TaskGroup tasks_;
  std::map<std::string, std::shared_ptr<Entry>> entries_;  // shared with the running task
  Counters counters_;
};

}  // namespace frisket::service
