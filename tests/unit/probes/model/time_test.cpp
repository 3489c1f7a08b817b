#include "probes/model/time.h"

#include <catch2/catch.hpp>

namespace frisket::model {
namespace {

std::string utc(std::string_view text) {
  const auto instant = from_rfc3339(text);
  return instant ? to_rfc3339(*instant) : "refused";
}

// RFC 3339 section 5.8: its examples, and the equivalents that its text names (from memory).
TEST_CASE("the examples of RFC 3339 mean the instants that it says") {
  CHECK(utc("1985-04-12T23:20:50.52Z") == "1985-04-12T23:20:50.520Z");
  CHECK(utc("1996-12-19T16:39:57-08:00") == "1996-12-20T00:39:57.000Z");
  CHECK(utc("1990-12-31T23:59:60Z") == "1991-01-01T00:00:00.000Z");
  CHECK(utc("1990-12-31T15:59:60-08:00") == "1991-01-01T00:00:00.000Z");
  CHECK(utc("1937-01-01T12:00:27.87+00:20") == "1937-01-01T11:40:27.870Z");
}

// Section 5.6: T and Z may be in lower case, and a space may stand for T.
TEST_CASE("the grammar's alternatives are accepted") {
  CHECK(utc("1985-04-12t23:20:50.52z") == "1985-04-12T23:20:50.520Z");
  CHECK(utc("1985-04-12 23:20:50Z") == "1985-04-12T23:20:50.000Z");
  CHECK(utc("1985-04-12T23:20:50.123456789Z") == "1985-04-12T23:20:50.123Z");
  CHECK(utc("1985-04-12T23:20:50.1Z") == "1985-04-12T23:20:50.100Z");
  CHECK(utc("1985-04-12T23:20:50-00:00") == "1985-04-12T23:20:50.000Z");  // section 4.3: offset not known
  CHECK(utc("1985-04-12T23:20:50+23:59") == "1985-04-11T23:21:50.000Z");
  CHECK(utc("0000-01-01T00:00:00Z") == "0000-01-01T00:00:00.000Z");
  CHECK(utc("9999-12-31T23:59:59.999Z") == "9999-12-31T23:59:59.999Z");
}

// Appendix C (from memory): a year is a leap year if divisible by 4, not by 100, or by 400.
TEST_CASE("a day exists only in a month that has it") {
  CHECK(utc("2000-02-29T00:00:00Z") == "2000-02-29T00:00:00.000Z");
  CHECK(utc("2024-02-29T00:00:00Z") == "2024-02-29T00:00:00.000Z");
  for (const auto* text : {"1900-02-29T00:00:00Z", "2023-02-29T00:00:00Z", "2026-04-31T00:00:00Z",
                           "2026-00-10T00:00:00Z", "2026-13-10T00:00:00Z", "2026-01-00T00:00:00Z"})
    CHECK(utc(text) == "refused");
}

TEST_CASE("anything else is refused") {
  for (const auto* text : {"",
                           "Z",
                           "1985-04-12",
                           "1985-04-12T23:20:50",
                           "1985-04-12T23:20Z",
                           "1985-04-12T23:20:50.Z",
                           "1985-04-12T24:00:00Z",
                           "1985-04-12T23:60:50Z",
                           "1985-04-12T23:20:61Z",
                           "1985-04-12T23:20:50+24:00",
                           "1985-04-12T23:20:50+00:60",
                           "1985-04-12T23:20:50+0000",
                           "1985-04-12T23:20:50Zx",
                           "1985-04-12T23:20:50Z ",
                           " 1985-04-12T23:20:50Z",
                           "85-04-12T23:20:50Z",
                           "+1985-04-12T23:20:50Z",
                           "1985/04/12T23:20:50Z",
                           "1985-04-12_23:20:50Z",
                           "1985-04-12T23:20:50,5Z",
                           "1985-04-12T-1:20:50Z",
                           "1985-04-12T23:20:50+00:0"})
    CHECK(utc(text) == "refused");
}

TEST_CASE("every shorter piece of a date-time is refused") {
  const std::string whole = "1996-12-19T16:39:57.123-08:00";
  REQUIRE(from_rfc3339(whole));
  for (std::size_t length = 0; length < whole.size(); ++length) CHECK_FALSE(from_rfc3339(whole.substr(0, length)));
}

TEST_CASE("what is written is read back as the same instant") {
  const auto begin = std::chrono::sys_days{std::chrono::year{1969} / 12 / 31};
  for (long long step = 0; step < 5000; ++step) {
    const WallTime instant = WallTime{begin} + Milliseconds{step * 7'919'123'457LL % 2'000'000'000'000LL};
    CHECK(from_rfc3339(to_rfc3339(instant)) == instant);
  }
}

}  // namespace
}  // namespace frisket::model
