#include "daemon/client/moments.h"

#include "fixture.h"

namespace frisket::client {

TEST_CASE("a moment names its day only where it is not today, by the reader's clock") {
  const auto now = at("2026-11-25T08:37:00Z");  // a Wednesday
  const auto zone = one_hour_east();
  CHECK(local_moment(at("2026-11-25T08:12:00Z"), now, zone) == "09:12");
  CHECK(local_moment(at("2026-11-24T23:30:00Z"), now, zone) == "00:30");
  CHECK(local_moment(at("2026-11-24T22:30:00Z"), now, zone) == "Tue 23:30");
  CHECK(local_moment(at("2026-11-19T08:00:00Z"), now, zone) == "Thu 09:00");
  CHECK(local_moment(at("2026-11-18T08:00:00Z"), now, zone) == "2026-11-18 09:00");
  CHECK(local_moment(at("2026-11-26T08:00:00Z"), now, zone) == "2026-11-26 09:00");
  CHECK(local_moment_with_seconds(at("2026-11-25T08:12:31.900Z"), now, zone) == "09:12:31");
}

TEST_CASE("a span is told in the two largest units that matter") {
  using namespace std::chrono_literals;
  CHECK(span_words(-5min) == "under a minute");
  CHECK(span_words(59s) == "under a minute");
  CHECK(span_words(60s) == "1 min");
  CHECK(span_words(59min + 59s) == "59 min");
  CHECK(span_words(3h + 5min) == "3 h 05 min");
  CHECK(span_words(24h) == "1 d 0 h");
  CHECK(span_words(52h) == "2 d 4 h");
}

TEST_CASE("a moment ahead of now, as clocks that differ give it, has no span") {
  const auto now = at("2026-11-25T08:37:00Z");
  CHECK(since_words(at("2026-11-25T08:12:00Z"), now, one_hour_east()) == "09:12, 25 min");
  CHECK(since_words(at("2026-11-25T08:38:00Z"), now, one_hour_east()) == "09:38");
}

}  // namespace frisket::client
