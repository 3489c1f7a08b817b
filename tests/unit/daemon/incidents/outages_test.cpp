// Devices of a site or subnet that fall silent together.
#include <catch2/catch.hpp>

#include "sites.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using Words = std::vector<std::string>;

namespace {

// A site that is polled in rounds, a device after the other.
class Site {
 public:
  explicit Site(config::Config config) : config_(std::move(config)), correlator(config_) { round({}); }

  // One poll of each device; those are silent. What was told, in order.
  Words round(const std::vector<int>& silent) {
    Words words;
    at += 30s;
    for (int i = 0; i < size(); ++i) {
      const bool misses = std::ranges::find(silent, i) != silent.end();
      std::ranges::move(told(correlator.apply(reading_of(i, misses, at))), std::back_inserter(words));
    }
    return words;
  }
  Words rounds(int count, const std::vector<int>& silent) {
    Words words;
    for (int i = 0; i < count; ++i) std::ranges::move(round(silent), std::back_inserter(words));
    return words;
  }
  void restart(bool with_devices = true) {
    auto memory = correlator.memory();
    if (!with_devices) memory.devices.clear();
    Correlator fresh(config_);
    CHECK(fresh.restore(std::move(memory), at).empty());
    correlator = std::move(fresh);
  }
  Words reconfigure(config::Config config) {
    config_ = std::move(config);
    return told(correlator.reconfigure(config_, at));
  }
  int size() const { return static_cast<int>(config_.devices.size()); }

 private:
  config::Config config_;

 public:
  Correlator correlator;
  WallTime at = kMorning;
};

std::vector<int> from_to(int first, int last) {
  std::vector<int> numbers;
  for (int i = first; i <= last; ++i) numbers.push_back(i);
  return numbers;
}

Words both(Words a, const Words& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

const Incident& outage_in(const Correlator& correlator) {
  for (const auto* incident : correlator.incidents())
    if (incident->kind == "site-silent") return *incident;
  throw std::runtime_error("there is no site-silent");
}

}  // namespace

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
  auto config = site_of(5);
  config.sites.push_back({"arboretum", "UTC"});
  Site site(config);
  site.rounds(3, from_to(0, 4));
  config.devices[4].site = "arboretum";
  CHECK(site.reconfigure(config).empty());
  CHECK(site.round(from_to(0, 4)) == Words{"raised device-silent copier-004"});
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
