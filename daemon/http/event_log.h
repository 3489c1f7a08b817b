// What happened lately, ready for the wire as server-sent events (WHATWG HTML, section 9.2).
//
// One bounded log serves every reader: a reader is only a position in it, so a slow one costs
// no memory and delays nobody. A reader whose position has fallen out of the log has
// missed something and is told so, or dropped. On the io_context's thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace frisket::http {

class EventLog {
 public:
  struct Bounds {
    std::size_t events = 16384;
    std::size_t bytes = 8U << 20U;  // of text; the newest event is kept whatever its size
  };

  // `run` tells the ids of this log from those of the daemon's run before: letters and digits.
  EventLog(std::string run, Bounds bounds);

  // `name` is one of ours; `data` is one line of JSON.
  void append(std::string_view name, std::string_view data);

  // The number of the newest event; 0: none yet. A reader at this position has seen all.
  std::uint64_t newest() const { return newest_; }

  std::string id_of(std::uint64_t position) const;

  // Where a reader stands that has seen the event with this id. Nothing if the id is not of this
  // log, or if an event after it is no longer kept.
  std::optional<std::uint64_t> position_of(std::string_view id) const;

  struct Batch {
    std::string text;
    std::uint64_t position = 0;  // of a reader that has had the text
  };
  // The events after `position`, oldest first: as many as fit in `bytes`, but at least one if
  // there is one. Nothing if an event after `position` is no longer kept.
  std::optional<Batch> after(std::uint64_t position, std::size_t bytes) const;

  // Calls back at each append until the returned handle is gone, and only then. The callback
  // must not append, and may end subscriptions.
  using Subscription = std::shared_ptr<void>;
  Subscription subscribe(std::function<void()> appended);
  std::size_t subscribers() const;

 private:
  struct Listeners;

  std::string run_;
  Bounds bounds_;
  std::deque<std::string> events_;  // the last one has the number newest_
  std::size_t bytes_ = 0;
  std::uint64_t newest_ = 0;
  std::shared_ptr<Listeners> listeners_;
};

// One event in the wire's form.
std::string event_text(std::string_view id, std::string_view name, std::string_view data);

}  // namespace frisket::http
