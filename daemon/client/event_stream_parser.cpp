#include "daemon/client/event_stream_parser.h"

#include <algorithm>
#include <charconv>
#include <utility>

namespace frisket::client {

bool EventStreamParser::feed(std::string_view piece, const std::function<void(StreamEvent)>& sink) {
  for (const char octet : piece) {
    const bool ends_return = std::exchange(after_return_, false);
    if (octet == '\n' && ends_return) continue;
    if (octet == '\n' || octet == '\r') {
      after_return_ = octet == '\r';
      const std::string line = std::exchange(line_, {});
      take_line(line, sink);
    } else {
      line_ += octet;
    }
    if (line_.size() > kMaxEvent || data_.size() > kMaxEvent) return false;
  }
  return true;
}

void EventStreamParser::restart() {
  line_.clear();
  after_return_ = false;
  at_start_ = true;
  data_.clear();
  type_.clear();
  id_buffer_ = last_event_id_;
}

void EventStreamParser::take_line(std::string_view line, const std::function<void(StreamEvent)>& sink) {
  constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
  if (std::exchange(at_start_, false) && line.starts_with(kByteOrderMark)) line.remove_prefix(kByteOrderMark.size());
  if (line.empty()) {
    dispatch(sink);
    return;
  }
  const std::size_t colon = line.find(':');
  if (colon == 0) return;  // a comment
  if (colon == std::string_view::npos) {
    take_field(line, {});
    return;
  }
  std::string_view value = line.substr(colon + 1);
  if (value.starts_with(' ')) value.remove_prefix(1);
  take_field(line.substr(0, colon), value);
}

void EventStreamParser::take_field(std::string_view name, std::string_view value) {
  if (name == "event") {
    type_ = value;
  } else if (name == "data") {
    data_ += value;
    data_ += '\n';
  } else if (name == "id") {
    if (value.find('\0') == std::string_view::npos) id_buffer_ = value;
  } else if (name == "retry") {
    const bool digits = std::ranges::all_of(value, [](char octet) { return octet >= '0' && octet <= '9'; });
    std::int64_t milliseconds = 0;
    const auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), milliseconds);
    if (digits && error == std::errc{}) reconnection_time_ = std::chrono::milliseconds{milliseconds};
  }
}

void EventStreamParser::dispatch(const std::function<void(StreamEvent)>& sink) {
  last_event_id_ = id_buffer_;
  std::string data = std::exchange(data_, {});
  std::string type = std::exchange(type_, {});
  if (data.empty()) return;
  data.pop_back();  // the line feed after the last line
  sink({type.empty() ? "message" : std::move(type), std::move(data), last_event_id_});
}

}  // namespace frisket::client
