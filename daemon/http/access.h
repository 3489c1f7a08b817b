// Who may do what: facts of a request in, a decision out.
//
// Over the UNIX socket everything may be done: the permissions of its file guard it. Over TCP a request shows a bearer
// token (RFC 6750). Without one, what comes from this machine to a loopback listener may read; it may do everything
// where no file of tokens is configured. Everybody else is refused. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "config/token.h"

namespace frisket::http {

using Tokens = std::optional<std::vector<config::Token>>;  // nothing: no file of tokens is configured

// Where a request comes from.
struct Origin {
  bool unix_socket = false;
  std::optional<std::uint32_t> uid;   // of the UNIX socket's peer (SO_PEERCRED)
  std::string address = "127.0.0.1";  // of the TCP peer, without the port
  bool loopback = true;               // over TCP: the peer's address and the listener's both are

  // "unix:1000", or the address.
  std::string text() const;
};

// What a route is given: on whose word it acts.
struct Access {
  std::string who;  // the token's name, "unix:UID", "loopback"
  config::Right right = config::Right::read;
  std::string peer;  // Origin::text()

  // Names and titles of other people's jobs, and the like: not for whoever merely is on this machine, even where
  // that is enough to change something.
  bool may_see_personal() const { return right >= config::Right::operate && who != config::kLoopbackName; }
};

struct Refusal {
  unsigned status = 401;  // 400 (RFC 6750 invalid_request), 401, 403, 429
  std::string detail;     // for the problem
  std::string challenge;  // the WWW-Authenticate field; empty: none
  std::string who;        // "nobody", or the token whose right is too small
  int retry_after = 0;    // seconds; with 429
};

using Decision = std::variant<Access, Refusal>;

// `authorization`: the request's Authorization fields.
Decision decide(const Origin& origin, config::Right needed, std::span<const std::string> authorization,
                const Tokens& tokens);

}  // namespace frisket::http
