// The connections of one transport that are under way, each with a coroutine that talks over it.
//
// On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <chrono>
#include <functional>
#include <memory>

#include "daemon/hooks/connection.h"
#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class Conversations {
 public:
  using Tell = std::function<void(const Reply&)>;
  // Calls `tell` once; what it does afterwards (saying goodbye) holds up nobody.
  using Talk = std::function<boost::asio::awaitable<void>(Connection&, Tell)>;

  explicit Conversations(boost::asio::any_io_executor executor);

  void start(std::chrono::seconds time_limit, Talk talk, Transport::Done done);
  void stop();

 private:
  struct State;
  std::shared_ptr<State> state_;
};

// What a connection's trouble means for a notice.
Reply failure_of(const Connection& connection);

}  // namespace frisket::hooks
