#include "daemon/http/host_check.h"

#include <algorithm>
#include <boost/asio/ip/address.hpp>

#include "probes/model/ascii.h"

namespace frisket::http {
namespace {

bool is_port(std::string_view text) {
  return text.size() <= 5 && std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

}  // namespace

bool is_our_host(std::string_view host, const HostRule& rule) {
  if (!rule.checked) return true;
  std::string_view name = host;
  std::string_view port;
  const auto end = host.starts_with('[') ? host.find(']') : host.find(':');
  if (host.starts_with('[')) {
    if (end == host.npos) return false;
    name = host.substr(1, end - 1);
    port = host.substr(end + 1);
  } else if (end != host.npos) {
    name = host.substr(0, end);
    port = host.substr(end);
  }
  if (!port.empty() && (!port.starts_with(':') || !is_port(port.substr(1)))) return false;

  const auto lower = model::in_lower_case(name);
  boost::system::error_code error;
  const auto address = boost::asio::ip::make_address(lower, error);
  if (!error && address.is_loopback() && address.is_v6() == host.starts_with('[')) return true;
  if (host.starts_with('[')) return false;
  return lower == "localhost" || std::ranges::find(rule.names, lower) != rule.names.end();
}

}  // namespace frisket::http
