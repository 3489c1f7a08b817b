// Where an IPP service is: the URI that is named in requests, and the HTTP address behind it.
//
// RFC 8010 section 5 and RFC 7472: ipp: is http: on port 631, ipps: is https: on port 631; the ipp
// form stays in the message. Pure values; any thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

#include "probes/model/result.h"

namespace frisket::model {

// How the client makes itself known. A password is in memory only.
struct IppCredentials {
  enum class Scheme {
    none,
    basic,  // RFC 7617; sent over TLS, to the loopback and over a UNIX socket, never else
    peer,   // "PeerCred" of the spooler's UNIX socket: the kernel vouches for the user
  };
  Scheme scheme = Scheme::none;
  std::string user;
  std::string password;
  friend bool operator==(const IppCredentials&, const IppCredentials&) = default;
};

struct IppTarget {
  std::string uri;   // as it goes into printer-uri; no user, no password
  std::string host;  // a name or an IP literal without brackets
  std::uint16_t port = 631;
  bool tls = false;
  std::string path = "/";          // of the HTTP request
  std::filesystem::path socket{};  // not empty: this UNIX socket instead of host and port
  // SHA-256 of the server's certificate (DER) in lower-case hex; empty: trust on first use.
  std::string pinned_certificate{};
  IppCredentials credentials{};

  // What makes two targets share connections: "tls|host|port" or the socket's path.
  std::string endpoint() const;

  friend bool operator==(const IppTarget&, const IppTarget&) = default;
};

// Accepts ipp, ipps, http and https URIs. Fails with Kind::invalid: another scheme, no host, a user or
// password inside (they would end up in logs), a fragment.
Result<IppTarget> ipp_target_of(std::string_view uri);

// The target of another queue behind the same endpoint: host, port and rights stay, the path
// is that of `uri`. A queue names itself by the host name it knows, which need not be reachable.
Result<IppTarget> beside(const IppTarget& target, std::string_view uri);

// The service as a whole behind the target: the same with the path "/".
IppTarget root_of(IppTarget target);

// "ipp://host/x" without what stands before the '@'; anything that does not parse becomes empty.
std::string without_user(std::string_view uri);

// The host that a URI of any scheme names ("socket://192.0.2.9:9100"), without brackets; empty if it names none.
std::string host_of(std::string_view uri);

}  // namespace frisket::model
