// Quiet times by the IANA zone data. Europe/Dublin: clocks go forward on 29 March 2026 at 01:00 UTC, and back on
// 25 October 2026 at 01:00 UTC (Directive 2000/84/EC, articles 2 and 3).
#include "daemon/hooks/quiet_times.h"

#include <catch2/catch.hpp>

namespace frisket::hooks {
namespace {

using std::chrono::minutes;

std::string end_of(const config::Hook& hook, const std::string& instant, const std::string& zone = "Europe/Dublin") {
  return model::to_rfc3339(SiteClock(zone).after_quiet(hook, *model::from_rfc3339(instant)));
}

config::Hook quiet(int from, int to) {
  config::Hook hook;
  hook.quiet = {{minutes{from}, minutes{to}}};
  return hook;
}

TEST_CASE("a quiet time holds its first instant and not its last") {
  const auto hook = quiet(12 * 60, 13 * 60);
  CHECK(end_of(hook, "2026-03-02T11:59:59.999Z") == "2026-03-02T11:59:59.999Z");
  CHECK(end_of(hook, "2026-03-02T12:00:00Z") == "2026-03-02T13:00:00.000Z");
  CHECK(end_of(hook, "2026-03-02T12:59:59.999Z") == "2026-03-02T13:00:00.000Z");
  CHECK(end_of(hook, "2026-03-02T13:00:00Z") == "2026-03-02T13:00:00.000Z");
}

TEST_CASE("a quiet night ends on the next morning, by the site's clock on both sides of its change") {
  const auto hook = quiet(22 * 60, 6 * 60 + 30);
  CHECK(end_of(hook, "2026-03-27T23:00:00Z") == "2026-03-28T06:30:00.000Z");
  CHECK(end_of(hook, "2026-03-28T23:00:00Z") == "2026-03-29T05:30:00.000Z");
  CHECK(end_of(hook, "2026-10-24T21:00:00Z") == "2026-10-25T06:30:00.000Z");
  CHECK(end_of(hook, "2026-10-24T20:59:00Z") == "2026-10-24T20:59:00.000Z");
}

TEST_CASE("a quiet time that ends in the hour that the clock skips ends at the change") {
  CHECK(end_of(quiet(0, 90), "2026-03-29T00:30:00Z") == "2026-03-29T01:00:00.000Z");
}

TEST_CASE("a quiet time that ends in the hour that comes twice ends with the second") {
  CHECK(end_of(quiet(0, 90), "2026-10-25T00:30:00Z") == "2026-10-25T01:30:00.000Z");
}

TEST_CASE("quiet days and quiet nights are one long quiet time") {
  auto hook = quiet(22 * 60, 6 * 60 + 30);
  hook.quiet_days[5] = hook.quiet_days[6] = true;
  CHECK(end_of(hook, "2026-03-06T22:30:00Z") == "2026-03-09T06:30:00.000Z");  // Friday to Monday
  CHECK(end_of(hook, "2026-03-07T12:00:00Z") == "2026-03-09T06:30:00.000Z");
  CHECK(end_of(hook, "2026-03-06T12:00:00Z") == "2026-03-06T12:00:00.000Z");
}

TEST_CASE("a zone that the machine does not know is UTC") {
  CHECK(end_of(quiet(0, 60), "2026-07-01T00:30:00Z", "Garden/Palm_House") == "2026-07-01T01:00:00.000Z");
}

}  // namespace
}  // namespace frisket::hooks
