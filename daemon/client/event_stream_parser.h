// An event stream taken apart as it arrives.
//
// WHATWG HTML Living Standard, section 9.2.6 "Interpreting an event stream". The
// bytes may come in any pieces: the events are the same. An event that the end of the
// stream cuts off is not dispatched, as the standard says. Pure; one thread.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace frisket::client {

struct StreamEvent {
  std::string type;  // "message" where the stream names none
  std::string data;
  std::string last_event_id;
  friend bool operator==(const StreamEvent&, const StreamEvent&) = default;
};

class EventStreamParser {
 public:
  // The longest line, and the most data of one event, in bytes; more than that is no stream of ours.
  static constexpr std::size_t kMaxEvent = std::size_t{8} * 1024 * 1024;

  // Takes the next piece and calls `sink` for each event that it completes. False once a
  // line or an event was too long: the stream cannot be followed any further.
  [[nodiscard]] bool feed(std::string_view piece, const std::function<void(StreamEvent)>& sink);

  // Forgets a half-read line or event: a new connection begins. The last event ID and
  // the reconnection time stay.
  void restart();

  // What to send as Last-Event-ID; empty: nothing.
  const std::string& last_event_id() const { return last_event_id_; }

  // What the stream last asked for by a retry field.
  std::optional<std::chrono::milliseconds> reconnection_time() const { return reconnection_time_; }

 private:
  void take_line(std::string_view line, const std::function<void(StreamEvent)>& sink);
  void take_field(std::string_view name, std::string_view value);
  void dispatch(const std::function<void(StreamEvent)>& sink);

  std::string line_;
  bool after_return_ = false;  // a line feed that comes next belongs to the carriage return
  bool at_start_ = true;       // a byte order mark may still come
  std::string data_;
  std::string type_;
  std::string id_buffer_;
  std::string last_event_id_;
  std::optional<std::chrono::milliseconds> reconnection_time_;
};

}  // namespace frisket::client
