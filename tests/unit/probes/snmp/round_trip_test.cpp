#include "probes/snmp/round_trip.h"

#include <catch2/catch.hpp>

namespace frisket::snmp {

using namespace std::chrono_literals;

TEST_CASE("without a sample the configured time-out holds, and after forgetting again") {
  RoundTrip round_trip;
  CHECK(round_trip.timeout(1500ms) == 1500ms);
  round_trip.sample(10ms);
  CHECK(round_trip.timeout(1500ms) < 1500ms);
  round_trip.forget();
  CHECK(round_trip.timeout(1500ms) == 1500ms);
}

// RFC 6298 section 2: after the first R, SRTT = R and RTTVAR = R/2; then RTTVAR = 3/4 RTTVAR + 1/4 |SRTT - R'|
// and SRTT = 7/8 SRTT + 1/8 R', in that order; the time-out is SRTT + 4 RTTVAR.
TEST_CASE("the estimate is that of RFC 6298") {
  RoundTrip round_trip;
  round_trip.sample(400ms);
  CHECK(round_trip.timeout(10s) == 400ms + 4 * 200ms);
  round_trip.sample(800ms);
  CHECK(round_trip.timeout(10s) == 450ms + 4 * 250ms);
}

TEST_CASE("the time-out stays between a quarter of a second and the configured one") {
  RoundTrip quick;
  for (int i = 0; i < 20; ++i) quick.sample(200us);
  CHECK(quick.timeout(1500ms) == 250ms);
  CHECK(quick.timeout(100ms) == 100ms);
  RoundTrip slow;
  slow.sample(1h);
  slow.sample(0ms);
  CHECK(slow.timeout(1500ms) == 1500ms);
}

}  // namespace frisket::snmp
