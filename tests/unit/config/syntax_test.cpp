#include "config/syntax.h"

#include <catch2/catch.hpp>

namespace frisket::config {
namespace {

using namespace std::chrono_literals;

std::string normal(std::string_view text) {
  const auto address = parse_address(text);
  return address ? address->normal : "refused";
}

TEST_CASE("a duration is a whole number with one of four units") {
  CHECK(parse_duration("1500ms") == 1500ms);
  CHECK(parse_duration("30s") == 30s);
  CHECK(parse_duration("5m") == 5min);
  CHECK(parse_duration("1h") == 1h);
  CHECK(parse_duration("0s") == 0s);
  for (const auto* text : {"", "s", "30", "30 s", " 30s", "30s ", "-30s", "+30s", "1.5s", "1h30m", "30S", "30d", "0x1s",
                           "99999999999s", "2000000000h", "30s\n"})
    CHECK_FALSE(parse_duration(text));
}

TEST_CASE("a duration is written back in its largest whole unit") {
  CHECK(duration_text(90s) == "90s");
  CHECK(duration_text(60s) == "1m");
  CHECK(duration_text(24h) == "24h");
  CHECK(duration_text(1500ms) == "1500ms");
  CHECK(duration_text(0ms) == "0s");
}

TEST_CASE("names are safe in a URL, a file name and an environment") {
  CHECK(is_name("herbarium-copier"));
  CHECK(is_name("Palm_House.2"));
  CHECK(is_name(std::string(64, 'a')));
  for (const auto& text :
       {std::string(), std::string(65, 'a'), std::string("a b"), std::string("a/b"), std::string("."),
        std::string(".."), std::string("\xC3\xA9"), std::string("a\n"), std::string("a\0b", 3)})
    CHECK_FALSE(is_name(text));
}

// RFC 8011 section 5.1.4.
TEST_CASE("keywords are lower-case, begin with a letter and have at most 255 characters") {
  CHECK(is_keyword("toner-low"));
  CHECK(is_keyword("iso_a4_210x297mm"));
  CHECK(is_keyword(std::string(255, 'a')));
  for (const auto& text :
       {std::string(), std::string(256, 'a'), std::string("Toner-low"), std::string("4-up"), std::string("toner low")})
    CHECK_FALSE(is_keyword(text));
}

// RFC 5952 section 4 and its examples for the one spelling of an IPv6 address; RFC 1123 section 2.1 for host names.
TEST_CASE("one address has one spelling") {
  CHECK(normal("192.0.2.10") == "192.0.2.10");
  CHECK(normal("2001:db8:0:0:1:0:0:1") == "2001:db8::1:0:0:1");
  CHECK(normal("2001:0db8::0001") == "2001:db8::1");
  CHECK(normal("2001:DB8::1") == "2001:db8::1");
  CHECK(normal("::ffff:192.0.2.10") == "192.0.2.10");
  CHECK(normal("fe80::1%eth0") == "fe80::1%eth0");
  CHECK(normal("Copier.Example.ORG.") == "copier.example.org");
  CHECK(normal("3com.example") == "3com.example");
}

TEST_CASE("what is neither an address nor a host name is refused") {
  for (const auto& text :
       {std::string(), std::string("300.1.2.3"), std::string("192.0.2"), std::string("192.0.2.10:161"),
        std::string("[::1]"), std::string("2001:db8:::1"), std::string("-a.example"), std::string("a-.example"),
        std::string("a..example"), std::string("a b"), std::string("print_room"), std::string("fe80::1%"),
        std::string("fe80::1%e/0"), std::string(64, 'a'), std::string("192.0.2.1\0x", 11), std::string("udp:a")})
    CHECK(normal(text) == "refused");
  std::string long_name = "a";
  while (long_name.size() <= 253) long_name += ".a";
  CHECK(normal(long_name) == "refused");
  CHECK(normal(long_name.substr(0, 253)) == long_name.substr(0, 253));
}

// RFC 6890 (0.0.0.0/8, 240.0.0.0/4), RFC 5771 (224.0.0.0/4), RFC 4291 (::, ff00::/8).
TEST_CASE("addresses of no machine or of many are told apart") {
  for (const auto* text : {"0.0.0.0", "0.1.2.3", "224.0.0.1", "239.255.255.255", "255.255.255.255", "::", "ff02::1"})
    CHECK(parse_address(text)->kind == Address::Kind::other);
  for (const auto* text : {"1.0.0.1", "127.0.0.1", "223.255.255.255", "::1", "fe80::1"})
    CHECK(parse_address(text)->kind == Address::Kind::unicast);
}

TEST_CASE("an endpoint is an address literal and a port") {
  CHECK(parse_endpoint("127.0.0.1:9640") == Listen{"127.0.0.1", 9640});
  CHECK(parse_endpoint("[::1]:0") == Listen{"::1", 0});
  CHECK(parse_endpoint("0.0.0.0:65535") == Listen{"0.0.0.0", 65535});
  for (const auto* text : {"", "127.0.0.1", "127.0.0.1:", "127.0.0.1:65536", "127.0.0.1:-1", "127.0.0.1: 80",
                           "::1:9640", "[127.0.0.1]:80", "localhost:80", ":80", "[]:80", "[::1]", "127.0.0.1:80x"})
    CHECK_FALSE(parse_endpoint(text));
}

TEST_CASE("the name of a time zone cannot leave its folder") {
  for (const auto* text : {"UTC", "Europe/Dublin", "America/Argentina/Buenos_Aires", "Etc/GMT+1"})
    CHECK(is_zone_name(text));
  for (const auto* text :
       {"", "/etc/passwd", "../etc/passwd", "Europe/../x", "Europe/", "Europe//Dublin", "Europe Dublin"})
    CHECK_FALSE(is_zone_name(text));
}

}  // namespace
}  // namespace frisket::config
