// Devices of a site or subnet that fall silent together.
#include <catch2/catch.hpp>

#include "sites.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

TEST_CASE("two thirds of a site silent are one incident, one device fewer is not") {
  // Two thirds, rounded up, and three at least.
  const std::pair<int, int> sizes[] = {{3, 3}, {4, 3}, {5, 4}, {6, 4}, {7, 5}, {9, 6}, {10, 7}, {30, 20}};
  for (const auto& [size, enough] : sizes) {
    INFO(size << " devices");
    Site site(site_of(size));
    CHECK(site.rounds(3, from_to(0, enough - 1)) == Words{"raised site-silent glasshouse"});
    CHECK(outage_in(site.correlator).evidence.size() == static_cast<std::size_t>(enough));

    Site other(site_of(size));
    const auto words = other.rounds(3, from_to(0, enough - 2));
    CHECK(words.size() == static_cast<std::size_t>(enough - 1));
    CHECK(std::ranges::all_of(words, [](const auto& word) { return word.starts_with("raised device-silent "); }));
  }
}

TEST_CASE("two devices are no site, though both are silent") {
  Site site(site_of(2));
  CHECK(site.rounds(3, {0, 1}) == Words{"raised device-silent copier-000", "raised device-silent copier-001"});
}

TEST_CASE("a device that refuses is not silent with the others") {
  Site site(site_of(3));
  for (int poll = 0; poll < 3; ++poll) {
    site.round({0, 1});
    auto refused = missed(site.at, model::Reach::refused);
    refused.device = copier(2);
    site.correlator.apply(refused);
  }
  CHECK(open_set(site.correlator) == Words{"device-silent copier-000", "device-silent copier-001"});
}

TEST_CASE("an outage is over when half answer again, and who misses the next poll too is told") {
  Site site(site_of(6));
  site.rounds(3, from_to(0, 5));
  CHECK(site.round(from_to(2, 5)).empty());
  CHECK(site.round(from_to(3, 5)) == Words{"cleared site-silent glasshouse", "raised device-silent copier-003",
                                           "raised device-silent copier-004", "raised device-silent copier-005"});
  CHECK(site.rounds(3, from_to(3, 5)).empty());
  CHECK(site.round({}).size() == 3);
  CHECK(open_set(site.correlator).empty());
}

TEST_CASE("who falls silent during an outage is part of it, who answers is not, and neither is told") {
  Site site(site_of(6));
  site.rounds(3, from_to(0, 4));
  CHECK(outage_in(site.correlator).evidence.size() == 5);
  CHECK(site.rounds(3, from_to(1, 5)).empty());
  CHECK(outage_in(site.correlator).evidence.size() == 5);
  CHECK(outage_in(site.correlator).evidence.front().place == copier(1));
}

TEST_CASE("devices out of service make no outage and hinder none") {
  auto config = site_of(6);
  for (int i : {3, 4, 5}) config.devices[static_cast<std::size_t>(i)].out_of_service = "being repaired";
  Site site(config);
  CHECK(site.rounds(3, from_to(0, 2)) == Words{"raised site-silent glasshouse"});
  Site other(config);
  CHECK(other.rounds(5, from_to(3, 5)).empty());
}

TEST_CASE("one subnet of a site that falls silent is an incident of that subnet") {
  for (const auto& [prefix, other, place] : {std::tuple("192.0.2.", "198.51.100.", "192.0.2.0/24"),
                                             std::tuple("2001:db8:0:7::", "2001:db8:0:8::", "2001:db8:0:7::/64")}) {
    INFO(place);
    Site site(site_of(both(addresses(prefix, 4), addresses(other, 6))));
    CHECK(site.rounds(3, from_to(0, 2)) == Words{"raised site-silent " + std::string(place)});
    CHECK(site.rounds(5, from_to(0, 2)).empty());
    site.restart();
    CHECK(site.rounds(2, from_to(0, 2)).empty());
    CHECK(site.round({0, 1}) == Words{"cleared site-silent " + std::string(place)});
    CHECK(site.round({}).empty());
  }
}

TEST_CASE("a whole site of several subnets is one incident, in whatever order it is polled") {
  Site site(site_of(both(addresses("192.0.2.", 5), addresses("2001:db8::", 5))));
  CHECK(site.rounds(5, from_to(0, 9)) == Words{"raised site-silent glasshouse"});
  CHECK(site.round({}) == Words{"cleared site-silent glasshouse"});
}

TEST_CASE("a subnet that has waited for its site is told by itself when the rest answers") {
  Site site(site_of(both(addresses("192.0.2.", 5), addresses("198.51.100.", 5))));
  CHECK(site.rounds(2, from_to(0, 9)).empty());
  CHECK(site.rounds(2, from_to(0, 4)) == Words{"raised site-silent 192.0.2.0/24"});
}

TEST_CASE("a subnet waits for its site for a minute, not for ever") {
  Site site(site_of(both(addresses("192.0.2.", 5), addresses("198.51.100.", 5))));
  // The others miss every other poll: never silent, and always suspected when the first five are polled.
  Words words;
  site.rounds(1, from_to(0, 9));
  for (int i = 0; i < 4; ++i) {
    for (auto& word : site.round(from_to(0, 4))) words.push_back(word);
    for (auto& word : site.round(from_to(0, 9))) words.push_back(word);
  }
  CHECK(std::ranges::count(words, "raised site-silent 192.0.2.0/24") == 1);
  CHECK(std::ranges::none_of(words, [](const auto& word) { return word.starts_with("raised device-silent"); }));
}

TEST_CASE("devices at loopback addresses have no subnet") {
  Site site(site_of(both(addresses("127.0.0.", 4), addresses("198.51.100.", 6))));
  CHECK(site.rounds(3, from_to(0, 2)) ==
        Words{"raised device-silent copier-000", "raised device-silent copier-001", "raised device-silent copier-002"});
}

TEST_CASE("a device with a suspected cable falls silent with its site like the others") {
  Site site(site_of(3));
  for (int i = 0; i < 6; ++i) {
    site.round({0});
    site.round({});
  }
  REQUIRE(open_set(site.correlator) == Words{"cable-suspect copier-000"});
  CHECK(site.rounds(3, from_to(0, 2)) == Words{"raised site-silent glasshouse"});
  CHECK(outage_in(site.correlator).evidence.size() == 3);
  CHECK(site.round({}) == Words{"cleared site-silent glasshouse"});
}

TEST_CASE("a device whose neighbours miss polls in turn is told of after a minute, not later") {
  // Of seven devices at least five are missing at any time, and never five silent.
  Correlator correlator(site_of(7));
  auto at = kMorning;
  for (int round = 0; round < 6; ++round) {
    at += 30s;
    Words words;
    for (const bool misses : {true, false})
      for (int i = 0; i < 7; ++i)
        if ((i == 0 || i % 3 != round % 3) == misses)
          std::ranges::move(told(correlator.apply(reading_of(i, misses, at))), std::back_inserter(words));
    INFO("round " << round);
    // The third missed poll is that of round 2.
    CHECK(words == (round == 4 ? Words{"raised device-silent copier-000"} : Words{}));
  }
}
