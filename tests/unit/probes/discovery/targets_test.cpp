#include "probes/discovery/targets.h"

#include <catch2/catch.hpp>

namespace frisket::discovery {
namespace {

Targets parsed(const std::vector<std::string>& ranges) {
  auto targets = Targets::parse(ranges);
  INFO((targets ? std::string() : targets.error().what));
  REQUIRE(targets);
  return std::move(*targets);
}

std::vector<std::string> all_of(const Targets& targets) {
  std::vector<std::string> addresses;
  Targets::Cursor cursor(targets);
  while (const auto address = cursor.next()) addresses.push_back(address->to_string());
  return addresses;
}

using Addresses = std::vector<std::string>;

TEST_CASE("a range is asked without its network and broadcast address") {
  CHECK(all_of(parsed({"192.0.2.8/29"})) ==
        Addresses{"192.0.2.9", "192.0.2.10", "192.0.2.11", "192.0.2.12", "192.0.2.13", "192.0.2.14"});
  CHECK(all_of(parsed({"192.0.2.8/30"})) == Addresses{"192.0.2.9", "192.0.2.10"});
  CHECK(parsed({"192.0.2.0/24"}).count() == 254);
  CHECK(parsed({"198.51.100.0/16"}).count() == 65'534);
}

TEST_CASE("a range of two has neither (RFC 3021), and a single address is asked whatever it ends in") {
  CHECK(all_of(parsed({"192.0.2.8/31"})) == Addresses{"192.0.2.8", "192.0.2.9"});
  CHECK(all_of(parsed({"192.0.2.255/32"})) == Addresses{"192.0.2.255"});
  CHECK(all_of(parsed({"192.0.2.0"})) == Addresses{"192.0.2.0"});
}

TEST_CASE("bits after the prefix do not matter") {
  CHECK(all_of(parsed({"192.0.2.10/29"})) == all_of(parsed({"192.0.2.8/29"})));
}

TEST_CASE("all of IPv4 is counted without what is no one machine's (RFC 6890)") {
  CHECK(parsed({"0.0.0.0/0"}).count() == std::uint64_t{223} << 24);
  CHECK(parsed({"127.0.0.0/8"}).count() == (1U << 24) - 2);
}

TEST_CASE("what ranges share is asked once, and a range in another one names its edges") {
  CHECK(parsed({"192.0.2.0/24", "192.0.2.0/25", "192.0.2.17", "192.0.2.0/24"}).count() == 254);
  CHECK(parsed({"192.0.2.0/25", "192.0.2.128/25"}).count() == 252);
  CHECK(parsed({"192.0.2.128/25", "192.0.2.0/25", "192.0.2.127"}).count() == 253);
  CHECK(all_of(parsed({"192.0.2.9", "192.0.2.7", "192.0.2.8"})) == Addresses{"192.0.2.7", "192.0.2.8", "192.0.2.9"});
}

TEST_CASE("IPv6 addresses and ranges of up to 65,536 addresses are asked") {
  CHECK(all_of(parsed({"2001:db8::fe/127"})) == Addresses{"2001:db8::fe", "2001:db8::ff"});
  CHECK(all_of(parsed({"2001:DB8:0::0001"})) == Addresses{"2001:db8::1"});
  CHECK(parsed({"2001:db8::/112"}).count() == 65'536);
  CHECK(parsed({"::/120"}).count() == 255);
  CHECK(parsed({"2001:db8::/120", "2001:db8:1::/120", "2001:db8::80/121"}).count() == 512);
  CHECK_FALSE(Targets::parse({"2001:db8::/111"}));
  CHECK_FALSE(Targets::parse({"::/0"}));
}

TEST_CASE("an IPv4 address written as IPv6 is the same machine") {
  CHECK(all_of(parsed({"::ffff:192.0.2.1", "192.0.2.1"})) == Addresses{"192.0.2.1"});
  CHECK_FALSE(Targets::parse({"::ffff:192.0.2.0/120"}));
}

TEST_CASE("what is no address is refused and named") {
  for (const std::string text :
       {"", "printer.example", "192.0.2", "192.0.2.0/", "192.0.2.0/33", "192.0.2.0/-1", "192.0.2.0/+8", "192.0.2.0/8x",
        "192.0.2.0/24/24", "192.0.2.0-192.0.2.9", "2001:db8::/129", "/24", " 192.0.2.1", "192.0.2.1 "}) {
    INFO(text);
    const auto targets = Targets::parse({text});
    REQUIRE_FALSE(targets);
    CHECK_THAT(targets.error().what, Catch::StartsWith("\""));
  }
}

TEST_CASE("addresses that are no one machine's are refused") {
  for (const std::string text : {"0.0.0.0", "224.0.0.1", "239.0.0.0/8", "255.255.255.255", "240.0.0.0/4", "ff02::1",
                                 "ff02::/112", "::", "::/128"}) {
    INFO(text);
    CHECK_FALSE(Targets::parse({text}));
  }
}

TEST_CASE("an address taken out is not asked, wherever in its range it is") {
  auto targets = parsed({"192.0.2.8/29", "2001:db8::1"});
  CHECK(targets.exclude(boost::asio::ip::make_address("192.0.2.9")));
  CHECK(targets.exclude(boost::asio::ip::make_address("192.0.2.12")));
  CHECK(targets.exclude(boost::asio::ip::make_address("::ffff:192.0.2.14")));
  CHECK(targets.exclude(boost::asio::ip::make_address("2001:db8::1")));
  CHECK_FALSE(targets.exclude(boost::asio::ip::make_address("192.0.2.12")));
  CHECK_FALSE(targets.exclude(boost::asio::ip::make_address("192.0.2.15")));
  CHECK_FALSE(targets.exclude(boost::asio::ip::make_address("2001:db8::2")));
  CHECK(all_of(targets) == Addresses{"192.0.2.10", "192.0.2.11", "192.0.2.13"});
  CHECK(targets.count() == 3);
}

}  // namespace
}  // namespace frisket::discovery
