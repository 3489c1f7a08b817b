// A request and its answer as values, so that what the service says can be tested without a
// socket. Pure.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "daemon/http/access.h"
#include "daemon/http/pieces.h"
#include "probes/model/time.h"

namespace frisket::http {

struct Request {
  std::string method = "GET";
  std::string target;
  std::optional<std::string> host;           // the Host field; nothing if there was none
  std::optional<std::string> last_event_id;  // the Last-Event-ID field
  std::vector<std::string> if_none_match;    // each If-None-Match field
  std::string content_type;                  // the Content-Type field
  std::string body;
  std::vector<std::string> authorization;  // each Authorization field
  Origin origin;
  model::WallTime now;
};

// The rest of an event stream: everything in the board's event log from here on.
struct EventFollow {
  std::uint64_t position = 0;
};

using NamedField = std::pair<std::string_view, std::string_view>;

// Fields of every answer: those that keep a browser from guessing types, framing the page, sending addresses on, or
// running anything but our own scripts. Names in the spelling of their standards.
inline constexpr std::array kEveryAnswer = {
    NamedField{"Content-Security-Policy",
               "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"},
    NamedField{"Cross-Origin-Resource-Policy", "same-origin"},
    NamedField{"Referrer-Policy", "no-referrer"},
    NamedField{"X-Content-Type-Options", "nosniff"},
};

struct Response {
  unsigned status = 200;
  // Besides those of every answer, and Date, Server, Content-Length and Connection (answer_head.h). Names are literals.
  std::vector<std::pair<std::string_view, std::string>> fields;
  Pieces body;
  bool head_only = false;             // the answer to HEAD: the body is described, not sent
  std::optional<EventFollow> follow;  // after the body the events follow, until somebody hangs up

  // Where set, this is no answer yet: called once, it calls back once with the answer, now or later.
  std::function<void(std::function<void(Response)>)> later{};

  // JSON text for the audit trail, in place of the request's body (model::AuditRecord::detail).
  std::optional<std::string> audit_detail{};

  // The value of a field, or nothing.
  std::optional<std::string_view> field(std::string_view name) const {
    for (const auto& [key, value] : fields)
      if (key == name) return value;
    for (const auto& [key, value] : kEveryAnswer)
      if (key == name) return value;
    return std::nullopt;
  }
};

// An answer that nobody keeps.
Response make_response(unsigned status, std::string_view content_type, Pieces body);
Response make_response(unsigned status, std::string_view content_type, std::string body);

// An error as RFC 9457 has it. The type is about:blank, so the title is the status in words;
// `instance` is the path that was asked for.
Response problem(unsigned status, std::string_view detail, std::string_view instance);

}  // namespace frisket::http
