// Wires the daemon together: probes to incidents, incidents to board and hooks.
//
// Owns every part of the running daemon. main makes one, starts it and runs the
// io_context; signals end up in reload() and stop(). On the io_context's thread.
#pragma once

#include <boost/asio/io_context.hpp>
#include <cstdint>
#include <filesystem>
#include <memory>

#include "config/config.h"
#include "config/loader.h"
#include "probes/clock/clock.h"
#include "probes/model/result.h"

namespace frisket::service {

class Service {
 public:
  // `file` is read again by reload(). The context and the clock must outlive the service.
  Service(boost::asio::io_context& context, Clock& clock, std::filesystem::path file, config::Config config);
  ~Service();

  // Opens the listener and begins to poll. On failure nothing is left running.
  model::Result<model::Done> start();

  // Reads the configuration again. A file that is wrong changes nothing; the log and
  // /v1/health say why. Unchanged devices go on undisturbed.
  void reload();

  // Asks every part to end: listeners at once, polls under way within their own bound,
  // hook programs are ended. The io_context runs out of work soon after; what has not
  // ended after `grace` is left behind by stopping the context. May be called again.
  void stop(std::chrono::seconds grace = std::chrono::seconds{5});

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

// Logs each finding as one line: errors as errors, warnings as warnings.
void log_findings(const config::Loaded& loaded);

}  // namespace frisket::service
