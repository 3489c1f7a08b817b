// A host name's addresses, without ever waiting longer than asked.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <string>
#include <vector>

#include "probes/clock/clock.h"
#include "probes/model/result.h"

namespace frisket {

// Fails with Kind::silent. The system's resolver cannot be cancelled: a look-up that takes too
// long is left to end by itself and its answer is dropped.
boost::asio::awaitable<model::Result<std::vector<boost::asio::ip::tcp::endpoint>>> resolve(Clock& clock,
                                                                                           model::SteadyTime due,
                                                                                           std::string host,
                                                                                           std::uint16_t port);

}  // namespace frisket
