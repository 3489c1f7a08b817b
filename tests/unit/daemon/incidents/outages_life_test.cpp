// Outages that outlive a restart or another configuration, and places that are silent again.
#include <catch2/catch.hpp>

#include "sites.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

TEST_CASE("after a restart an outage goes on, however many devices it has") {
  for (const int size : {5, 60, 100, 200}) {
    INFO(size << " devices");
    Site site(site_of(size));
    CHECK(site.rounds(3, from_to(0, size - 1)) == Words{"raised site-silent glasshouse"});
    const auto id = outage_in(site.correlator).id;
    CHECK(outage_in(site.correlator).evidence.size() == static_cast<std::size_t>(std::min(size, 64)));
    site.restart();
    CHECK(site.rounds(3, from_to(0, size - 1)).empty());
    CHECK(outage_in(site.correlator).id == id);
    CHECK(site.round({}) == Words{"cleared site-silent glasshouse"});
  }
}

TEST_CASE("an outage goes on though the store kept the incident and nothing of the devices") {
  Site site(site_of(5));
  site.rounds(3, from_to(0, 4));
  site.restart(false);
  CHECK(site.rounds(3, from_to(0, 4)).empty());
  CHECK(site.round({}) == Words{"cleared site-silent glasshouse"});
}

TEST_CASE("a device that moves to another site out of an outage is told of by itself") {
  // To a site that is too small for outages, and to one that is not.
  for (const int others : {0, 3}) {
    INFO(others << " others");
    auto config = site_of(5 + others);
    config.sites.push_back({"arboretum", "UTC"});
    for (std::size_t i = 5; i < config.devices.size(); ++i) config.devices[i].site = "arboretum";
    Site site(config);
    site.rounds(3, from_to(0, 4));
    config.devices[4].site = "arboretum";
    CHECK(site.reconfigure(config).empty());
    CHECK(site.round(from_to(0, 4)) == Words{"raised device-silent copier-004"});
  }
}

TEST_CASE("an outage ends with its site's last device, and shrinks with those taken away") {
  auto config = site_of(5);
  Site site(config);
  site.rounds(3, from_to(0, 4));
  config.devices.resize(2);
  CHECK(site.reconfigure(config).empty());
  CHECK(site.round({0, 1}).empty());
  CHECK(outage_in(site.correlator).evidence.size() == 2);
  config.devices.clear();
  CHECK(site.reconfigure(config) == Words{"cleared site-silent glasshouse"});
  CHECK(outage_in(site.correlator).outcome == "its devices are no longer configured");
}

TEST_CASE("power cuts of the whole site make no cable suspect") {
  Site site(site_of(4));
  for (int cut = 0; cut < 8; ++cut) {
    CHECK(site.rounds(3, from_to(0, 3)) == Words{"raised site-silent glasshouse"});
    CHECK(site.rounds(3, {}) == Words{"cleared site-silent glasshouse"});
  }
  CHECK(open_set(site.correlator).empty());
}

TEST_CASE("a site of which one subnet is silent already is one more incident when the rest falls silent") {
  // The rest by name, or in subnets of their own that are too small for one.
  Words names;
  Words small;
  for (int i = 0; i < 20; ++i) {
    names.push_back("rest" + std::to_string(i) + ".garden.example");
    small.push_back("198.51." + std::to_string(100 + i) + ".1");
  }
  for (const auto& rest : {names, small, addresses("198.51.100.", 20)}) {
    INFO(rest.front());
    Site site(site_of(both(addresses("192.0.2.", 3), rest)));
    CHECK(site.rounds(5, from_to(0, 2)) == Words{"raised site-silent 192.0.2.0/24"});
    CHECK(site.rounds(6, from_to(0, 22)) == Words{"raised site-silent glasshouse"});
    CHECK(site.correlator.incidents().back()->evidence.size() == 20);
    site.restart();
    CHECK(site.rounds(3, from_to(0, 22)).empty());
    CHECK(site.rounds(2, from_to(0, 2)) == Words{"cleared site-silent glasshouse"});
    CHECK(site.round({}) == Words{"cleared site-silent 192.0.2.0/24"});
  }
}

TEST_CASE("a subnet that stays behind when its site comes back is one incident") {
  Site site(site_of(both(addresses("192.0.2.", 5), addresses("198.51.100.", 7))));
  CHECK(site.rounds(4, from_to(0, 11)) == Words{"raised site-silent glasshouse"});
  CHECK(site.rounds(5, from_to(0, 4)) == Words{"cleared site-silent glasshouse", "raised site-silent 192.0.2.0/24"});
  CHECK(site.round({}) == Words{"cleared site-silent 192.0.2.0/24"});
}

TEST_CASE("a site that is silent again within returns_within is the same incident, later another one") {
  Site site(site_of(5));
  site.rounds(3, from_to(0, 4));
  const auto id = outage_in(site.correlator).id;
  REQUIRE(site.correlator.act(id, {site.at, OperatorState::closed, "ilse", "the fuse", {}}));
  site.rounds(3, {});
  site.restart();
  CHECK(site.rounds(3, from_to(0, 4)) == Words{"raised site-silent glasshouse"});
  CHECK(site.correlator.incidents().size() == 1);
  CHECK(outage_in(site.correlator).id == id);
  CHECK(outage_in(site.correlator).times_raised == 2);
  CHECK(outage_in(site.correlator).operator_state == OperatorState::none);
  CHECK(outage_in(site.correlator).evidence.size() == 5);
  CHECK_FALSE(outage_in(site.correlator).cleared_at);
  CHECK(site.rounds(30, {}) == Words{"cleared site-silent glasshouse"});
  CHECK(site.rounds(3, from_to(0, 4)) == Words{"raised site-silent glasshouse"});
  CHECK(site.correlator.incidents().size() == 2);
}

TEST_CASE("an outage of more devices than it names goes on though the store kept nothing of the devices") {
  Site site(site_of(200));
  site.rounds(3, from_to(0, 199));
  site.restart(false);
  CHECK(site.rounds(3, from_to(0, 199)).empty());
  CHECK(site.round({}) == Words{"cleared site-silent glasshouse"});
}

TEST_CASE("a device that was silent before a large outage is still told of by itself after a restart") {
  Site site(site_of(200));
  CHECK(site.rounds(3, {0}) == Words{"raised device-silent copier-000"});
  CHECK(site.rounds(3, from_to(0, 199)) == Words{"raised site-silent glasshouse"});
  site.restart(false);
  CHECK(site.rounds(3, from_to(0, 199)).empty());
  CHECK(open_set(site.correlator) == Words{"device-silent copier-000", "site-silent glasshouse"});
}

TEST_CASE("the same subnet at another site is another incident, however soon") {
  auto config = site_of(both(addresses("192.0.2.", 6), addresses("198.51.100.", 6)));
  config.sites.push_back({"arboretum", "UTC"});
  for (const std::size_t i : {3, 4, 5, 9, 10, 11}) config.devices[i].site = "arboretum";
  Site site(config);
  CHECK(site.rounds(3, {0, 1, 2}) == Words{"raised site-silent 192.0.2.0/24"});
  CHECK(site.round({}) == Words{"cleared site-silent 192.0.2.0/24"});
  CHECK(site.rounds(3, {3, 4, 5}) == Words{"raised site-silent 192.0.2.0/24"});
  CHECK(site.correlator.incidents().size() == 2);
  CHECK(site.correlator.incidents().back()->site == "arboretum");
}
