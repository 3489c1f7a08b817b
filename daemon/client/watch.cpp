#include "daemon/client/watch.h"

#include <algorithm>
#include <optional>

#include "daemon/client/display.h"
#include "daemon/client/event_stream_parser.h"
#include "daemon/client/fields.h"
#include "daemon/client/views.h"

namespace frisket::client {
namespace {

using std::chrono::milliseconds;

class Watcher {
 public:
  Watcher(const Request& request, Surroundings& around) : request_(request), around_(around) {}

  // Follows one connection to its end. An error that ends the watch, or nothing.
  std::optional<model::Error> follow_once() {
    parser_.restart();
    connected_ = false;
    const auto take = [this](std::string_view piece) { return take_piece(piece); };
    const auto answer = around_.server.follow("/v1/events", parser_.last_event_id(), take);
    if (wrong_) return wrong_;
    if (!answer) {
      const bool may_return = answer.error().kind == model::Error::Kind::silent && ever_connected_;
      if (!may_return) return answer.error();
      lost_ = answer.error().what;
      return std::nullopt;
    }
    lost_ = "the daemon ended the stream";
    // 503: it has too many readers, or is about to stop.
    const bool busy = answer->status >= 500 && ever_connected_;
    if (answer->status != 200 && !busy) {
      model::Error error = error_of(*answer, around_.server);
      if (error.kind == model::Error::Kind::invalid) error.kind = model::Error::Kind::nonsense;
      return error;
    }
    if (answer->status == 200 && !answer->content_type.starts_with("text/event-stream"))
      return nonsense("the answer is not an event stream");
    return std::nullopt;
  }

  bool connected() const { return connected_; }
  milliseconds first_wait() const { return parser_.reconnection_time().value_or(milliseconds{2000}); }
  const std::string& lost() const { return lost_; }

 private:
  bool take_piece(std::string_view piece) {
    if (!connected_ && told_lost_) around_.err << "frisket: following " << around_.server.name() << " again\n";
    told_lost_ = false;
    connected_ = true;
    ever_connected_ = true;
    if (!parser_.feed(piece, [this](const StreamEvent& event) { take_event(event); }))
      wrong_ = nonsense("an event is too long");
    around_.out.flush();
    if (!around_.out && !wrong_)
      wrong_ = model::Error{
          .kind = model::Error::Kind::local, .doing = "writing to standard output", .whom = "", .what = ""};
    return !wrong_;
  }

  void take_event(const StreamEvent& event) {
    if (wrong_) return;
    if (event.type == "gap")
      around_.err << "frisket: changes were missed meanwhile; 'frisket status' shows how things are\n";
    if (event.type != "notice") return;
    const auto data = parse_json(event.data);
    if (!data) {
      wrong_ = nonsense(data.error().text());
      return;
    }
    const auto notice = notice_from(*data);
    if (!notice) {
      wrong_ = nonsense(notice.error().text());
    } else if (notice->has_value()) {
      print(**notice, *data);
    }
  }

  void print(const Notice& notice, const Json& data) {
    if (request_.json) {
      around_.out << inert_json(data.dump()) << '\n';
    } else if (around_.terminal) {
      around_.out << notice_screen(notice, {around_.width, around_.colour, around_.now(), around_.zone});
    } else {
      around_.out << notice_line(notice);
    }
  }

  model::Error nonsense(std::string what) const {
    return {.kind = model::Error::Kind::nonsense,
            .doing = "following " + around_.server.name(),
            .whom = "",
            .what = std::move(what)};
  }

 public:
  // Says once per interruption that the stream was lost.
  void tell_lost() {
    if (!told_lost_) around_.err << "frisket: lost the stream (" << lost_ << "); trying again\n";
    told_lost_ = true;
  }

 private:
  const Request& request_;
  Surroundings& around_;
  EventStreamParser parser_;
  bool connected_ = false;  // in this attempt
  bool ever_connected_ = false;
  bool told_lost_ = false;
  std::string lost_;
  std::optional<model::Error> wrong_;
};

}  // namespace

milliseconds back_off(int attempt, milliseconds first) {
  constexpr milliseconds kLeast{100};
  constexpr milliseconds kMost{30'000};
  milliseconds wait = std::clamp(first, kLeast, kMost);
  for (int i = 1; i < attempt && wait < kMost; ++i) wait *= 2;
  return std::min(wait, kMost);
}

ExitStatus watch(const Request& request, Surroundings& around) {
  if (!request.json && !around.terminal) around.out << notice_header_line() << std::flush;
  Watcher watcher(request, around);
  int attempt = 0;
  for (;;) {
    if (const auto error = watcher.follow_once()) {
      around.err << "frisket: " << error->text() << '\n';
      return exit_status_of(*error);
    }
    attempt = watcher.connected() ? 1 : attempt + 1;
    if (!around.pause.wait(milliseconds{0})) return ExitStatus::done;
    watcher.tell_lost();
    if (!around.pause.wait(back_off(attempt, watcher.first_wait()))) return ExitStatus::done;
  }
}

}  // namespace frisket::client
