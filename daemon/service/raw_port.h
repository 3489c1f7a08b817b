// A TCP port that prints whatever it is sent, mostly 9100. Common practice, no standard: nothing is answered.
//
// On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <string>

#include "probes/clock/clock.h"
#include "probes/model/result.h"

namespace frisket::service {

struct RawPortLimits {
  model::Milliseconds connect{4'000};   // resolving and connecting, for each address
  model::Milliseconds write{30'000};    // until all octets are taken
  model::Milliseconds farewell{5'000};  // for the printer to close its side; it need not
};

// Hands the octets over, once. Fails with Kind::silent: what arrived until then may be printed. The clock must
// outlive the coroutine.
boost::asio::awaitable<model::Result<model::Done>> write_to_raw_port(Clock& clock, std::string host, std::uint16_t port,
                                                                     std::string octets, RawPortLimits limits = {});

}  // namespace frisket::service
