// Where a device is: an IP literal, or a name that is looked up when needed.
#pragma once

#include <sys/socket.h>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>

#include "probes/clock/clock.h"
#include "probes/model/result.h"
#include "probes/snmp/request_table.h"

namespace frisket::snmp {

// What the kernel says a datagram came from, of `length` octets; an address of none if they are too many.
Endpoint endpoint_of(const sockaddr_storage& address, std::size_t length);

class Address {
 public:
  Address(std::string host, std::uint16_t port);
  ~Address();

  // The address to ask. A name is looked up on the first call and after doubt(). Only while
  // nothing is known of it is the look-up waited for, until `due`; otherwise what the name
  // meant before still counts, so that a slow name service does not slow down polling.
  // Fails (silent) when there is no address.
  boost::asio::awaitable<model::Result<Endpoint>> endpoint(Clock& clock, model::SteadyTime due);

  bool is_literal() const;

  // The same where there is nothing to look up; else null. Valid until the next call of the others.
  const Endpoint* known() const;

  // The device was silent: the name may mean another address now, or have several.
  void doubt();

 private:
  struct State;
  std::shared_ptr<State> state_;  // shared with a look-up under way
};

}  // namespace frisket::snmp
