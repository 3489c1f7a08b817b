// Starts simfleet as a child and talks to its control channel: for tests and measurements.
//
// Ends the child when it goes. Throws std::runtime_error if the child does not do as it
// should; nothing waits longer than ten seconds.
#pragma once

#include <sys/types.h>

#include <cstdint>
#include <string>
#include <vector>

namespace frisket::simfleet {

class FleetProcess {
 public:
  // Waits for "ready". The program ends by itself when this process does (--until-eof).
  FleetProcess(const std::string& program, std::vector<std::string> arguments);
  ~FleetProcess();
  FleetProcess(const FleetProcess&) = delete;
  FleetProcess& operator=(const FleetProcess&) = delete;

  std::uint16_t port() const { return port_; }
  std::size_t devices() const { return devices_; }
  pid_t pid() const { return pid_; }

  // One command, its answer.
  std::string say(const std::string& command);

  // Closes its standard input, or sends it a signal, and waits: its exit status, or -1 if a
  // signal ended it.
  int close_input();
  int end_by(int signal);

  // CPU seconds used so far.
  double cpu_seconds() const;
  // Resident memory in bytes.
  std::size_t resident() const;

 private:
  std::string read_line();
  int wait();

  pid_t pid_ = -1;
  int in_ = -1;
  int out_ = -1;
  std::uint16_t port_ = 0;
  std::size_t devices_ = 0;
  std::string pending_;
};

// What a program prints on standard output. Throws if it cannot be started, fails, or takes
// longer than ten seconds. `program` is looked up in PATH; there is no shell.
std::string output_of(const std::vector<std::string>& command);

}  // namespace frisket::simfleet
