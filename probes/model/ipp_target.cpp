#include "probes/model/ipp_target.h"

#include <charconv>

#include <boost/url.hpp>
#include <utility>

namespace frisket::model {
namespace {

constexpr std::size_t kMaxUri = 1023;  // RFC 8011 section 5.1.6

Error invalid(std::string_view uri, std::string what) {
  return {Error::Kind::invalid, "reading the printer URI", std::string(uri.substr(0, 100)), std::move(what)};
}

}  // namespace

std::string IppTarget::endpoint() const {
  if (!socket.empty()) return "unix|" + socket.string();
  return std::string(tls ? "tls|" : "tcp|") + host + "|" + std::to_string(port) + "|" + pinned_certificate;
}

Result<IppTarget> ipp_target_of(std::string_view uri) {
  if (uri.size() > kMaxUri) return invalid(uri, "it is longer than 1023 octets");
  const auto parsed = boost::urls::parse_uri(boost::core::string_view(uri.data(), uri.size()));
  if (!parsed) return invalid(uri, "it is not a URI");
  const auto& view = *parsed;
  IppTarget target;
  const std::string scheme(view.scheme());
  if (scheme == "ipps" || scheme == "https") {
    target.tls = true;
  } else if (scheme != "ipp" && scheme != "http") {
    return invalid(uri, "its scheme is not one of ipp, ipps, http, https");
  }
  if (view.has_userinfo()) return invalid(uri, "it contains a user or a password");
  if (view.has_fragment()) return invalid(uri, "it has a fragment");
  target.host = view.host_address();
  if (target.host.empty()) return invalid(uri, "it names no host");
  target.port = scheme == "http" ? 80 : scheme == "https" ? 443 : 631;
  if (view.has_port()) {
    const std::string port(view.port());
    const auto [end, error] = std::from_chars(port.data(), port.data() + port.size(), target.port);
    if (error != std::errc() || end != port.data() + port.size() || target.port == 0)
      return invalid(uri, "its port is not a port");
  }
  const std::string path(view.encoded_path());
  const std::string query(view.encoded_query());
  target.path = path.empty() ? "/" : path;
  if (!query.empty()) target.path += "?" + query;
  // In the message the scheme is always ipp or ipps.
  target.uri = target.tls ? "ipps" : "ipp";
  target.uri += "://" + std::string(view.encoded_host_and_port());
  if (!view.has_port() && target.port != 631) target.uri += ":" + std::to_string(target.port);
  target.uri += path;
  if (!query.empty()) target.uri += "?" + query;
  return target;
}

Result<IppTarget> beside(const IppTarget& target, std::string_view uri) {
  auto other = ipp_target_of(uri);
  if (!other) return other;
  IppTarget result = target;
  result.uri = other->uri;
  result.path = other->path;
  return result;
}

IppTarget root_of(IppTarget target) {
  const auto authority = target.uri.find("//");
  if (authority != std::string::npos) target.uri = target.uri.substr(0, target.uri.find('/', authority + 2)) + "/";
  target.path = "/";
  return target;
}

std::string host_of(std::string_view uri) {
  const auto parsed = boost::urls::parse_uri(boost::core::string_view(uri.data(), uri.size()));
  return parsed ? std::string(parsed->host_address()) : std::string();
}

std::string without_user(std::string_view uri) {
  const auto parsed = boost::urls::parse_uri(boost::core::string_view(uri.data(), uri.size()));
  if (!parsed) return {};
  boost::urls::url copy(*parsed);
  copy.remove_userinfo();
  return std::string(copy.buffer());
}

}  // namespace frisket::model
