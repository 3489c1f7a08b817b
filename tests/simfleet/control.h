// The control channel: one command a line in, one line out ("ok ..." or "error ...").
//
// Pure but for the fleet and the time it changes; main.cpp feeds it lines. README.md lists the commands.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "tests/simfleet/fleet.h"
#include "tests/simfleet/server.h"

namespace frisket::simfleet {

// Simulated time: real time at a speed, or only what advance() adds.
class FleetTime {
 public:
  FleetTime(double speed, bool manual, std::function<std::chrono::nanoseconds()> real);

  SimTime now() const;
  bool manual() const { return manual_; }
  void advance(SimTime by) { added_ += by; }

 private:
  double speed_;
  bool manual_;
  std::function<std::chrono::nanoseconds()> real_;
  std::chrono::nanoseconds started_;
  SimTime added_{0};
};

class Control {
 public:
  Control(Fleet& fleet, FleetTime& time, const Server& server, std::function<void()> quit);

  // The answer to one line, without the newline.
  std::string answer(std::string_view line);

 private:
  std::string advance(std::string_view duration);
  std::string device_command(std::string_view name, std::string_view rest);
  std::string get(const Device& device, std::string_view oid) const;

  Fleet& fleet_;
  FleetTime& time_;
  const Server& server_;
  std::function<void()> quit_;
};

}  // namespace frisket::simfleet
