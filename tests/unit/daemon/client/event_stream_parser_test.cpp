// Source of rules and examples: WHATWG HTML Living Standard, section 9.2.6 "Interpreting an event
// stream" (examples from memory of that section).
#include "daemon/client/event_stream_parser.h"

#include <catch2/catch.hpp>
#include <vector>

namespace frisket::client {
namespace {

using Events = std::vector<StreamEvent>;

Events parsed(const std::vector<std::string>& pieces) {
  EventStreamParser parser;
  Events events;
  for (const std::string& piece : pieces)
    CHECK(parser.feed(piece, [&](StreamEvent event) { events.push_back(std::move(event)); }));
  return events;
}

Events parsed(const std::string& stream) { return parsed(std::vector<std::string>{stream}); }

}  // namespace

TEST_CASE("the lines of one event's data are joined by line feeds") {
  CHECK(parsed("data: YHOO\ndata: +2\ndata: 10\n\n") == Events{{"message", "YHOO\n+2\n10", ""}});
}

TEST_CASE("an id lasts until another comes, a bare id clears it, and an unfinished event is not dispatched") {
  CHECK(parsed(": test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n") ==
        Events{{"message", "first event", "1"}, {"message", "second event", ""}});
  CHECK(parsed("id: 5\n\ndata: a\n\n") == Events{{"message", "a", "5"}});
}

TEST_CASE("data without a colon is an empty line of data") {
  CHECK(parsed("data\n\ndata\ndata\n\ndata:\n") == Events{{"message", "", ""}, {"message", "\n", ""}});
}

TEST_CASE("exactly one space after the colon is dropped") {
  CHECK(parsed("data:test\n\ndata: test\n\ndata:  test\n\n") ==
        Events{{"message", "test", ""}, {"message", "test", ""}, {"message", " test", ""}});
}

TEST_CASE("an event's type holds for that event only, also where the event has no data") {
  CHECK(parsed("event: notice\ndata: a\n\ndata: b\n\nevent: lost\n\ndata: c\n\n") ==
        Events{{"notice", "a", ""}, {"message", "b", ""}, {"message", "c", ""}});
}

TEST_CASE("lines end with CR, LF or CRLF; a byte order mark counts only at the very start") {
  CHECK(parsed("\xEF\xBB\xBF"
               "data: a\r\rdata: b\r\n\r\ndata: c\n\n") ==
        Events{{"message", "a", ""}, {"message", "b", ""}, {"message", "c", ""}});
  CHECK(parsed("data: a\n\n\xEF\xBB\xBF"
               "data: b\n\n") == Events{{"message", "a", ""}});
}

TEST_CASE("an id with a NUL is ignored, and so are unknown fields and bad retries") {
  EventStreamParser parser;
  const auto ignore = [](const StreamEvent&) {};
  CHECK(parser.feed("id: 4\nretry: 2500\n\n", ignore));
  CHECK(parser.last_event_id() == "4");
  CHECK(parser.reconnection_time() == std::chrono::milliseconds{2500});
  CHECK(parser.feed(
      std::string("id: 5\0x\nretry: 3s\nretry: -1\nretry:\nretry: 99999999999999999999\nweather: wet\n\n", 78),
      ignore));
  CHECK(parser.last_event_id() == "4");
  CHECK(parser.reconnection_time() == std::chrono::milliseconds{2500});
}

TEST_CASE("the same events come out wherever the stream is cut in two, and cut into single bytes") {
  const std::string stream =
      "\xEF\xBB\xBF: hello\r\nretry: 10\r\nid: a1\r\n\r\nevent: notice\rdata: {\"x\":\rdata:  \"種\"}\rid: a2\r\r"
      "data: b\n\nevent: device\ndata\n\nid\ndata: last\r\n\r\n";
  const Events whole = parsed(stream);
  REQUIRE(whole == Events{{"notice", "{\"x\":\n \"種\"}", "a2"},
                          {"message", "b", "a2"},
                          {"device", "", "a2"},
                          {"message", "last", ""}});
  for (std::size_t cut = 0; cut <= stream.size(); ++cut) {
    INFO("cut at " << cut);
    CHECK(parsed({stream.substr(0, cut), stream.substr(cut)}) == whole);
  }
  std::vector<std::string> bytes;
  for (const char byte : stream) bytes.emplace_back(1, byte);
  CHECK(parsed(bytes) == whole);
}

TEST_CASE("a stream cut off anywhere gives a beginning of its events and never half of one") {
  const std::string stream = "id: 1\ndata: one\n\nid: 2\ndata: two\ndata: more\n\n";
  const Events whole = parsed(stream);
  for (std::size_t length = 0; length < stream.size(); ++length) {
    const Events some = parsed(stream.substr(0, length));
    REQUIRE(some.size() <= whole.size());
    for (std::size_t i = 0; i < some.size(); ++i) CHECK(some[i] == whole[i]);
  }
}

TEST_CASE("a new connection forgets a half-read event but resumes after the last whole one") {
  EventStreamParser parser;
  Events events;
  const auto keep = [&](StreamEvent event) { events.push_back(std::move(event)); };
  CHECK(parser.feed("id: 7\ndata: a\n\nid: 8\nevent: x\ndata: ha", keep));
  parser.restart();
  CHECK(parser.last_event_id() == "7");
  CHECK(
      parser.feed("\xEF\xBB\xBF"
                  "data: b\n\n",
                  keep));
  CHECK(events == Events{{"message", "a", "7"}, {"message", "b", "7"}});
}

TEST_CASE("an endless line or an endless event is given up, in bounded memory") {
  EventStreamParser parser;
  const auto ignore = [](const StreamEvent&) {};
  const std::string piece(1 << 20, 'x');
  int taken = 0;
  while (taken < 100 && parser.feed(piece, ignore)) ++taken;
  CHECK(taken == 8);

  EventStreamParser lines;
  taken = 0;
  while (taken < 100 && lines.feed("data: " + piece + "\n", ignore)) ++taken;
  CHECK(taken == 7);
}

}  // namespace frisket::client
