// Tells people and programs of incidents' changes: what is planned, what is on its way, what came of it.
//
// plan() and tick() give notices; the caller writes them down (with their cause, in one transaction), and then
// hands them to deliver(). What becomes of them comes back through `keep`, to be written as well: notices that
// were delivered or given up, and others that changed because of it. On the io_context's thread; nothing here
// blocks it but stop().
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/hooks/delivery.h"
#include "daemon/hooks/planner.h"
#include "daemon/hooks/transport.h"
#include "daemon/incidents/incident.h"
#include "probes/clock/clock.h"
#include "probes/model/result.h"

namespace frisket::hooks {

// A transport for each type of hook.
Delivery::Transports all_transports(const boost::asio::any_io_executor& executor);

class Hooks {
 public:
  using Notices = std::vector<Notice>;
  using Keep = std::function<void(const Notices&)>;

  // The clock must outlive the io_context's run. `seed` is of the pauses' jitter.
  Hooks(boost::asio::any_io_executor executor, Clock& clock, Delivery::Transports transports, std::uint64_t seed,
        Keep keep);
  ~Hooks();

  // Takes the hooks and the sites. Attempts under way go on. Gives the notices that are dropped because their
  // hook is gone.
  Notices configure(const config::Config& config);

  // Once, after configure(): what was kept when the daemon stopped (see Planner). Gives what is dropped.
  // What waits is delivered from now on.
  Notices restore(Notices rows, const std::vector<incidents::Incident>& incidents, std::uint64_t last_number);

  // What is to be told of it. Nothing is told before deliver().
  Notices plan(const incidents::Transition& transition);
  // Reminders and escalations that are due by now; call at least every few seconds.
  Notices tick();
  void deliver(const Notices& notices);

  // Tells a test to this hook, once and at once; `done` gets what came of it. Kind invalid if there is no such
  // hook, refused if the receiver did not take it.
  void test(const std::string& hook, std::function<void(model::Result<std::string>)> done);

  struct Counters {
    Delivery::Counters delivery;
    Planner::Counters planner;
  };
  Counters counters() const;
  std::map<std::string, Delivery::OfHook> each() const;  // by name

  // Takes no more; ends what runs, and returns when it is gone, which may take 1.5 s if a program
  // resists. Call before the io_context is destroyed.
  void stop();

 private:
  void settled(const Notice& notice);
  void note_full();

  Clock& clock_;
  Keep keep_;
  Planner planner_;
  std::uint64_t refused_ = 0;  // as last logged
  Delivery delivery_;
};

}  // namespace frisket::hooks
