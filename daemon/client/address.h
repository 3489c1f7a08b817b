// Where the daemon is: what --server takes.
//
// Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "probes/model/result.h"

namespace frisket::client {

struct Address {
  std::string unix_socket;                // its path; empty: TCP
  std::string base = "http://localhost";  // without a slash at the end

  std::string name() const { return unix_socket.empty() ? base : "unix:" + unix_socket; }
};

// "unix:/path", "http://host[:port]" or "https://host[:port]"; kind invalid for anything else.
model::Result<Address> address_from(std::string_view url);

// Without --server: the daemon's socket, then its usual port, in this order.
std::vector<Address> usual_addresses();

}  // namespace frisket::client
