// The daemon as the client sees it: paths in, answers out.
//
// The verbs know only this interface, so that tests need no socket. One thread.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "probes/model/result.h"

namespace frisket::client {

// An answer with any HTTP status.
struct Answer {
  int status = 0;
  std::string content_type;
  std::string body;
};

class Server {
 public:
  virtual ~Server() = default;

  // One GET. The path begins with "/" and is percent-encoded. Kind silent if nobody
  // answered in time, nonsense if the answer was not HTTP or too long.
  virtual model::Result<Answer> get(const std::string& path) = 0;

  // One POST of a JSON document; errors as of get().
  virtual model::Result<Answer> post(const std::string& path, const std::string& json) = 0;

  // Follows an event stream: waits for as long as the stream lasts, and gives each piece to
  // `take`; `take` returns false to stop. The answer is without a body when its status is 200 and its
  // type is text/event-stream; otherwise it is as of get(). Kind silent if the connection could not
  // be made or broke. A stream that the daemon or `take` ended, or that a wish to stop
  // interrupted (see Pause), is an answer. `last_event_id` is sent unless it is empty.
  virtual model::Result<Answer> follow(const std::string& path, const std::string& last_event_id,
                                       const std::function<bool(std::string_view)>& take) = 0;

  // For sentences: "unix:/run/frisket/frisket.sock", "http://127.0.0.1:9640".
  virtual std::string name() const = 0;
};

// The error that an answer's status stands for, with the title and detail of its problem
// document (RFC 9457) if it has one; kind refused for 401, 403 and 429, invalid for the other
// 4xx, nonsense for whatever else is not 200.
model::Error error_of(const Answer& answer, const Server& server);

// The text as a path segment or a query value (RFC 3986: unreserved characters stay).
std::string percent_encoded(std::string_view text);

// "/v1/devices?site=glasshouse&state=silent"; pairs with an empty value are left out.
std::string path_with_query(std::string path, const std::vector<std::pair<std::string, std::string>>& query);

}  // namespace frisket::client
