// Whether a Host field names this service.
//
// A web page from elsewhere can make a browser ask a loopback service under the page's own
// name, once that name resolves to 127.0.0.1 (DNS rebinding). The Host field then carries
// the foreign name, so only our own names are answered. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace frisket::http {

struct HostRule {
  bool checked = true;             // false: any name will do (the UNIX socket)
  std::vector<std::string> names;  // accepted besides localhost, 127.0.0.0/8 and [::1]; in lower case
};

// `host` is the field's value: a name or an address, with or without a port.
bool is_our_host(std::string_view host, const HostRule& rule);

}  // namespace frisket::http
