// What the verbs print: decoded answers in, text out.
//
// The *_screen functions are for people at a terminal, the *_lines functions for programs
// behind a pipe: those columns are part of the public contract (docs/client.md). Pure; any
// thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/client/answers.h"
#include "daemon/client/moments.h"

namespace frisket::client {

// The terminal that a screen is made for.
struct Screen {
  std::size_t width = 80;  // columns
  bool colour = false;
  WallTime now;
  Zone zone;
};

std::string status_screen(const DeviceCounts& counts, std::vector<Incident> open, const Screen& screen);
std::string status_lines(const DeviceCounts& counts, std::vector<Incident> open);

std::string load_screen(const Load& load, const Screen& screen);
std::string load_lines(const Load& load);

std::string devices_screen(const std::vector<Device>& devices, const Screen& screen);
std::string devices_lines(const std::vector<Device>& devices);

// With the incidents that are open on it.
std::string device_screen(const Device& device, std::vector<Incident> open, const Screen& screen);
std::string device_lines(const Device& device, std::vector<Incident> open);

std::string supplies_screen(const std::vector<FleetSupply>& supplies, const Screen& screen);
std::string supplies_lines(const std::vector<FleetSupply>& supplies);

// In the order as served.
std::string incidents_screen(const std::vector<Incident>& incidents, const Screen& screen);
std::string incidents_lines(const std::vector<Incident>& incidents);

std::string incident_screen(const Incident& incident, const Screen& screen);
std::string incident_lines(const Incident& incident);

// One change, one line.
std::string notice_screen(const Notice& notice, const Screen& screen);
std::string notice_header_line();
std::string notice_line(const Notice& notice);

}  // namespace frisket::client
