// Tells a notice by running a program.
//
// The program gets the notice as one JSON object on standard input and a fixed, small environment; arguments
// are a list and never pass through a shell. It runs in its own process group, so that the whole group can be
// ended when the time limit is over. Exit status 0 means that it took the notice. What it prints is logged,
// bounded and escaped.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <cstdint>
#include <map>
#include <memory>

#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class ProgramRun;

class ExecTransport final : public Transport {
 public:
  explicit ExecTransport(boost::asio::any_io_executor executor);
  ~ExecTransport() override;

  void send(const Message& message, Done done) override;
  // Takes at the latest 1.5 s, if a program resists.
  void stop() override;

 private:
  struct Runs;

  boost::asio::any_io_executor executor_;
  std::shared_ptr<Runs> runs_;  // shared with the runs, which may outlive us
};

}  // namespace frisket::hooks
