// A connection to the first of several addresses that takes one.
//
// On the io_context's thread.
#pragma once

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/error_code.hpp>
#include <string>
#include <utility>
#include <vector>

#include "probes/clock/clock.h"
#include "probes/clock/within.h"

namespace frisket {

template <class Socket>
boost::asio::awaitable<boost::system::error_code> connect_to(Socket& socket, typename Socket::endpoint_type peer) {
  auto [error] = co_await socket.async_connect(peer, boost::asio::as_tuple(boost::asio::use_awaitable));
  co_return error;
}

// Empty once the socket is connected; else why the last address did not take it, and the socket is closed. Each address
// has its share of the time until `due`, so that one which swallows everything leaves time for those after it. The
// socket and the clock must outlive it.
template <class Socket>
boost::asio::awaitable<std::string> connect_to_one_of(Clock& clock, Socket& socket,
                                                      std::vector<typename Socket::endpoint_type> peers,
                                                      model::SteadyTime due) {
  std::string last = "no address";
  for (std::size_t i = 0; i < peers.size(); ++i) {
    const auto now = clock.steady_now();
    const auto share = std::max((due - now) / static_cast<int>(peers.size() - i), model::SteadyTime::duration::zero());
    auto work = connect_to(socket, peers[i]);
    const auto error = co_await within(clock, now + share, std::move(work));
    if (error && !*error) co_return std::string();
    last = error ? error->message() : "no connection in time";
    boost::system::error_code ignored;
    // NOLINTNEXTLINE(bugprone-unused-return-value): it is closed either way
    socket.close(ignored);
  }
  co_return last;
}

}  // namespace frisket
