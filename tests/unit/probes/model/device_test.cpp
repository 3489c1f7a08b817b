// The few things that a snapshot works out of what it holds.
#include "probes/model/device.h"

#include <catch2/catch.hpp>

#include "probes/model/reading.h"

namespace frisket::model {
namespace {

Marker counting(CounterUnit unit, std::optional<std::uint32_t> count) {
  Marker marker;
  marker.counter_unit = unit;
  marker.life_count = count;
  return marker;
}

TEST_CASE("impressions are the sum over the markers that count impressions") {
  DeviceSnapshot snapshot;
  CHECK_FALSE(snapshot.impressions());
  snapshot.markers = {counting(CounterUnit::hours, 12)};
  CHECK_FALSE(snapshot.impressions());
  snapshot.markers.push_back(counting(CounterUnit::impressions, std::nullopt));
  CHECK_FALSE(snapshot.impressions());
  snapshot.markers.push_back(counting(CounterUnit::impressions, 120345));
  snapshot.markers.push_back(counting(CounterUnit::impressions, 5));
  CHECK(snapshot.impressions() == 120350);
}

TEST_CASE("the sum of two counters does not wrap where each of them would") {
  DeviceSnapshot snapshot;
  snapshot.markers = {counting(CounterUnit::impressions, 4294967295U), counting(CounterUnit::impressions, 4294967295U)};
  CHECK(snapshot.impressions() == 8589934590U);
}

// RFC 3805 PrtCoverStatusTC.
TEST_CASE("a cover is open when it or its interlock is") {
  for (const auto& [status, open] : {std::pair(CoverStatus::cover_open, true),
                                     {CoverStatus::interlock_open, true},
                                     {CoverStatus::cover_closed, false},
                                     {CoverStatus::interlock_closed, false},
                                     {CoverStatus::unknown, false},
                                     {CoverStatus::other, false},
                                     {static_cast<CoverStatus>(77), false}}) {
    Cover cover;
    cover.status = status;
    CHECK(cover.open() == open);
  }
}

TEST_CASE("a receptacle's percentage is of the room left") {
  Supply waste;
  waste.supply_class = SupplyClass::receptacle_that_is_filled;
  waste.max_capacity = Amount{1000};
  waste.level = Amount{250};
  CHECK(waste.is_receptacle());
  CHECK(waste.percent() == 25.0);
}

TEST_CASE("a light is lit when it is on for some time") {
  ConsoleLight light;
  CHECK_FALSE(light.lit());
  light.on_time = 500;
  CHECK(light.lit());
}

TEST_CASE("an alert knows its subunit") {
  Alert alert;
  alert.group = AlertGroup::input;
  alert.group_index = 2;
  CHECK(to_text(alert.subunit()) == "input:2");
}

TEST_CASE("each way to meet a poll has its own word") {
  CHECK(to_text(Reach::answered) == "answered");
  CHECK(to_text(Reach::silent) == "silent");
  CHECK(to_text(Reach::refused) == "refused");
  CHECK(to_text(Reach::unknown_user) == "unknown-user");
  CHECK(to_text(Reach::wrong_key) == "wrong-key");
  CHECK(to_text(Reach::nonsense) == "nonsense");
}

}  // namespace
}  // namespace frisket::model
