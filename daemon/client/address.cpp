#include "daemon/client/address.h"

#include <curl/curl.h>

#include <memory>

#include "daemon/client/display.h"

namespace frisket::client {
namespace {

constexpr std::string_view kAllowed = "allowed: unix:/path, http://host:port, https://host:port";

model::Error not_an_address(std::string_view url) {
  return {.kind = model::Error::Kind::invalid,
          .doing = "reading the server's address",
          .whom = "",
          .what = "'" + inert(url) + "' is none; " + std::string(kAllowed)};
}

struct Parts {
  std::unique_ptr<CURLU, decltype(&curl_url_cleanup)> handle{curl_url(), curl_url_cleanup};

  std::string get(CURLUPart part) const {
    char* text = nullptr;
    if (curl_url_get(handle.get(), part, &text, 0) != CURLUE_OK) return "";
    const std::unique_ptr<char, decltype(&curl_free)> owned(text, curl_free);
    return text;
  }
};

}  // namespace

model::Result<Address> address_from(std::string_view url) {
  constexpr std::string_view kUnix = "unix:";
  if (url.starts_with(kUnix)) {
    const std::string path(url.substr(kUnix.size()));
    if (!path.starts_with('/')) return not_an_address(url);
    return Address{.unix_socket = path};
  }
  const Parts parts;
  const std::string text(url);
  const bool parsed = parts.handle && curl_url_set(parts.handle.get(), CURLUPART_URL, text.c_str(), 0) == CURLUE_OK;
  if (!parsed) return not_an_address(url);
  const std::string scheme = parts.get(CURLUPART_SCHEME);
  const std::string path = parts.get(CURLUPART_PATH);
  const bool plain = parts.get(CURLUPART_USER).empty() && parts.get(CURLUPART_PASSWORD).empty() &&
                     parts.get(CURLUPART_QUERY).empty() && parts.get(CURLUPART_FRAGMENT).empty() &&
                     (path.empty() || path == "/");
  if (!plain || (scheme != "http" && scheme != "https")) return not_an_address(url);
  const std::string port = parts.get(CURLUPART_PORT);
  Address address;
  address.base = scheme + "://" + parts.get(CURLUPART_HOST) + (port.empty() ? "" : ":" + port);
  return address;
}

std::vector<Address> usual_addresses() {
  return {Address{.unix_socket = "/run/frisket/frisket.sock"},
          Address{.unix_socket = "", .base = "http://127.0.0.1:9640"}};
}

}  // namespace frisket::client
