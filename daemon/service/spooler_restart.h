// Starts a spooler again by the program that the configuration names for it.
//
// Never a shell: the program is run with its configured arguments, an environment of PATH and LANG, and nothing on its
// standard input. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <chrono>
#include <memory>
#include <set>
#include <string>

#include "config/print_services.h"
#include "daemon/hooks/program_run.h"
#include "probes/clock/clock.h"
#include "probes/model/result.h"

namespace frisket::service {

inline constexpr std::chrono::seconds kRestartLimit{60};

class SpoolerRestarts {
 public:
  SpoolerRestarts(boost::asio::any_io_executor executor, Clock& clock)
      : executor_(std::move(executor)), clock_(clock) {}

  // Ends when the program has, or after kRestartLimit and a few seconds. What it printed first is in the error's text.
  // Kind::invalid: no program is configured; Kind::local: it could not be started, or failed.
  boost::asio::awaitable<model::Result<model::Done>> run(config::Spooler spooler);

  // Ends the programs that run; what waits for them ends as well.
  void stop();

 private:
  struct Wait;

  boost::asio::any_io_executor executor_;
  Clock& clock_;
  std::set<std::shared_ptr<Wait>> waits_;
};

}  // namespace frisket::service
