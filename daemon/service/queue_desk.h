// The print queues of the running daemon: what is read of them, and what is done to them.
//
// Readings go to the incident rules, their transitions to the ledger, the queues' state to the board. Acts are done one
// at a time for each queue. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <set>
#include <string>

#include "config/config.h"
#include "daemon/http/commands.h"
#include "daemon/http/fleet_board.h"
#include "daemon/incidents/correlator.h"
#include "daemon/service/automatic_cures.h"
#include "daemon/service/ledger.h"
#include "daemon/service/queue_pollers.h"
#include "daemon/service/spooler_restart.h"
#include "probes/clock/clock.h"
#include "probes/clock/task_group.h"
#include "probes/ipp/transport.h"

namespace frisket::service {

class QueueDesk {
 public:
  // All of it must outlive the desk.
  struct Parts {
    Clock& clock;
    ipp::Transport& transport;
    const config::Config& config;
    incidents::Correlator& correlator;
    Ledger& ledger;
    http::FleetBoard& board;
  };

  QueueDesk(boost::asio::any_io_executor executor, Parts parts);

  // The configuration is another one, and the correlator has it.
  void configure();

  // The incident rules have seen something new of the device: its queues may look different.
  void device_changed(const std::string& device);

  // As http::Commands has it.
  void act(http::QueueAct act, http::Commands::QueueActed done);

  std::map<std::string, std::uint64_t> counters() const;

  // Ends every task; what is under way runs out within its own bounds.
  void stop();
  std::size_t running() const { return pollers_.running() + tasks_.running(); }
  // Calls back once, when nothing runs any more.
  void when_idle(std::function<void()> idle);

 private:
  using Acted = model::Result<http::QueueActOutcome>;

  void take(const model::QueueReading& reading);
  void take(const model::SpoolerReading& reading);
  void publish(const std::string& queue);
  void publish_if(const std::function<bool(const incidents::QueueStatus&)>& wanted);
  void forget_gone();

  std::optional<ipp::Target> target_of(const incidents::QueueStatus& status) const;
  model::Result<std::string> uri_to_move_to(const http::QueueAct& act, const incidents::QueueStatus& from) const;
  boost::asio::awaitable<Acted> act_on(http::QueueAct act);
  boost::asio::awaitable<Acted> cure_queue(http::QueueAct act, ipp::Target target, std::string to_uri);
  boost::asio::awaitable<Acted> restart(http::QueueAct act, std::string spooler);
  boost::asio::awaitable<void> run(http::QueueAct act, http::Commands::QueueActed done);

  void cure_what_may_be();
  void cure_automatically(const std::string& queue, const std::string& incident);
  void record(const http::QueueAct& act, const Acted& outcome);

  boost::asio::any_io_executor executor_;
  Parts parts_;
  QueuePollers pollers_;
  SpoolerRestarts restarts_;
  TaskGroup tasks_;
  std::set<std::string> busy_;                  // queues on which an act is under way
  std::set<std::shared_ptr<Sleeper>> waiting_;  // of acts that look how it went
  bool stopping_ = false;
};

}  // namespace frisket::service
