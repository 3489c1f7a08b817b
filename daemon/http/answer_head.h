// The head of an answer as it goes over the wire (RFC 9112 sections 2.2 and 4). Pure.
#pragma once

#include <string>
#include <string_view>

#include "daemon/http/message.h"
#include "probes/model/time.h"

namespace frisket::http {

// The time as a Date field has it (RFC 9110 section 5.6.7). Keeps the last one: it changes once a second.
class DateText {
 public:
  // Valid until the next call.
  std::string_view of(model::WallTime now);

 private:
  std::string text_;
  std::chrono::sys_seconds second_{};
};

struct HeadNeeds {
  unsigned version = 11;  // of the request: 10 or 11
  bool keep_alive = true;
  std::string_view date;
};

// Status line and fields, to the empty line. Tells the body's length, unless events follow the body, or the status
// (304) has none. Control characters in the values of fields become spaces: nothing can begin a field of its own.
std::string answer_head(const Response& response, const HeadNeeds& needs);

}  // namespace frisket::http
