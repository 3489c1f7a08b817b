// What the listeners and the sessions of one server share.
#pragma once

#include <boost/asio/ssl/context.hpp>
#include <memory>
#include <set>

#include "daemon/http/answer_head.h"
#include "daemon/http/gate.h"
#include "daemon/http/host_check.h"
#include "daemon/http/server.h"
#include "probes/clock/task_group.h"

namespace frisket::http {

class Session;

struct ServerState {
  ServerState(boost::asio::any_io_executor executor, FleetBoard& board, Commands* commands, AuditTrail* trail,
              Clock& clock, Options options);

  boost::asio::any_io_executor executor;
  FleetBoard& board;
  Commands* const commands;  // null: nothing can be changed
  Gate gate;
  std::shared_ptr<boost::asio::ssl::context> tls;  // for the TCP connections to come; null: in clear
  Clock& clock;
  const Options options;

  TaskGroup tasks;
  std::set<Session*> sessions;  // each enters and leaves by itself
  std::unique_ptr<Sleeper> deadline_sleeper;
  bool stopping = false;
  Server::Counters counters;
  DateText date;

  // What a deadline set now can be at the earliest.
  model::Milliseconds shortest_deadline() const;
};

}  // namespace frisket::http
