#include "probes/model/subunit.h"

#include <catch2/catch.hpp>

namespace frisket::model {
namespace {

using Kind = Subunit::Kind;

TEST_CASE("a subunit is written as its kind and the device's own index") {
  CHECK(to_text(Subunit{Kind::input, 2}) == "input:2");
  CHECK(to_text(Subunit{Kind::media_path, 1}) == "media-path:1");
  CHECK(to_text(Subunit{Kind::input, 0}) == "input");
  CHECK(to_text(Subunit{}) == "device");
}

TEST_CASE("what is written is read back, for every kind") {
  for (int kind = 0; kind <= static_cast<int>(Kind::other); ++kind)
    for (const std::int32_t index : {0, 1, 42, INT32_MAX}) {
      const Subunit subunit{static_cast<Kind>(kind), index};
      CHECK(subunit_from(to_text(subunit)) == subunit);
    }
}

TEST_CASE("anything else is no subunit") {
  for (const auto* text : {"", "tray:1", "Input:1", "input:", "input:-1", "input: 1", "input:1 ", "input:1:2",
                           "input:x", "input:99999999999", ":1", "input:+1"})
    CHECK_FALSE(subunit_from(text));
}

// RFC 3805, prtAlertGroup and prtAlertGroupIndex.
TEST_CASE("an alert row points at the subunit of its group and index") {
  CHECK(subunit_of(AlertGroup::input, 2) == Subunit{Kind::input, 2});
  CHECK(subunit_of(AlertGroup::marker_supplies, 1) == Subunit{Kind::supply, 1});
  CHECK(subunit_of(AlertGroup::media_path, 3) == Subunit{Kind::media_path, 3});
  CHECK(subunit_of(AlertGroup::console_lights, 4) == Subunit{Kind::console, 4});
  CHECK(subunit_of(AlertGroup::fin_device, 1) == Subunit{Kind::finisher, 1});
}

TEST_CASE("an index of -1 or 0 means that the device did not say which") {
  for (const std::int32_t index : {-1, 0, INT32_MIN})
    CHECK(subunit_of(AlertGroup::input, index) == Subunit{Kind::input, 0});
}

TEST_CASE("what is about the device as a whole has no index, and unknown groups are kept apart from it") {
  CHECK(subunit_of(AlertGroup::general_printer, 1) == Subunit{});
  CHECK(subunit_of(AlertGroup::host_resources_mib_device_table, 5) == Subunit{});
  CHECK(subunit_of(static_cast<AlertGroup>(40), 3) == Subunit{Kind::other, 3});
}

}  // namespace
}  // namespace frisket::model
