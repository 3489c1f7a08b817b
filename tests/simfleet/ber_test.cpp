// BER against X.690's and the SNMP RFCs' own octets.
#include "tests/simfleet/ber.h"

#include <catch2/catch.hpp>
#include <limits>

using namespace frisket::simfleet;

namespace {

std::string bytes(std::initializer_list<int> octets) {
  std::string out;
  for (const int octet : octets) out.push_back(static_cast<char>(octet));
  return out;
}

std::string integer(std::int64_t value) {
  std::string out;
  ber::append_integer(out, value);
  return out;
}

std::string natural(std::uint64_t value, std::uint8_t tag) {
  std::string out;
  ber::append_unsigned(out, value, tag);
  return out;
}

std::string oid(const char* text) {
  std::string out;
  ber::append_oid(out, ber::parse_oid(text).value());
  return out;
}

}  // namespace

TEST_CASE("integers take the fewest octets that keep their sign") {
  // X.690 section 8.3: two's complement, the first nine bits not all alike.
  CHECK(integer(0) == bytes({2, 1, 0}));
  CHECK(integer(127) == bytes({2, 1, 0x7F}));
  CHECK(integer(128) == bytes({2, 2, 0, 0x80}));
  CHECK(integer(-1) == bytes({2, 1, 0xFF}));
  CHECK(integer(-128) == bytes({2, 1, 0x80}));
  CHECK(integer(-129) == bytes({2, 2, 0xFF, 0x7F}));
  CHECK(integer(2147483647) == bytes({2, 4, 0x7F, 0xFF, 0xFF, 0xFF}));
  CHECK(integer(std::numeric_limits<std::int64_t>::min()) == bytes({2, 8, 0x80, 0, 0, 0, 0, 0, 0, 0}));
}

TEST_CASE("a counter with its top bit set gets a zero octet in front, or it would read as negative") {
  CHECK(natural(4294967295U, ber::counter32) == bytes({0x41, 5, 0, 0xFF, 0xFF, 0xFF, 0xFF}));
  CHECK(natural(0, ber::gauge32) == bytes({0x42, 1, 0}));
  CHECK(natural(std::numeric_limits<std::uint64_t>::max(), ber::counter64) ==
        bytes({0x46, 9, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}));
}

TEST_CASE("every integer that is written reads back") {
  for (int shift = 0; shift < 63; ++shift) {
    for (const std::int64_t near : {-1, 0, 1}) {
      for (const std::int64_t sign : {-1, 1}) {
        const std::int64_t value = sign * ((std::int64_t{1} << shift) + near);
        const auto element = ber::Reader(integer(value)).next(ber::integer);
        REQUIRE(element);
        CHECK(ber::decode_integer(integer(value).substr(2)) == value);
      }
    }
  }
}

TEST_CASE("object identifiers pack the first two arcs and 7 bits an octet") {
  // X.690 section 8.19.5: {2 100 3} is 813403.
  CHECK(oid("2.100.3") == bytes({6, 3, 0x81, 0x34, 0x03}));
  CHECK(oid(".1.3.6.1.2.1.1.3.0") == bytes({6, 8, 0x2B, 6, 1, 2, 1, 1, 3, 0}));
  CHECK(oid("1.3.6.1.4.1.32473") == bytes({6, 8, 0x2B, 6, 1, 4, 1, 0x81, 0xFD, 0x59}));
  CHECK(oid("1.3.4294967295") == bytes({6, 6, 0x2B, 0x8F, 0xFF, 0xFF, 0xFF, 0x7F}));
  for (const char* text :
       {"0.0", "1.39.1", "2.999.16383.16384.2097151.2097152", "1.3.6.1.2.1.43.18.1.1.2.1.4294967295"}) {
    const std::string encoded = oid(text);
    const auto element = ber::Reader(encoded).next(ber::object_identifier);
    REQUIRE(element);
    Oid decoded;
    REQUIRE(ber::decode_oid(element->body, decoded));
    CHECK(ber::to_text(decoded) == text);
  }
}

TEST_CASE("what is no object identifier is refused") {
  for (const char* text : {"", ".", "1", "1.", "1..3", "3.1", "1.40", "1.3.x", "1.3.4294967296", "1.3 ", "-1.3"}) {
    CHECK_FALSE(ber::parse_oid(text).has_value());
  }
  Oid decoded;
  CHECK_FALSE(ber::decode_oid("", decoded));
  CHECK_FALSE(ber::decode_oid(bytes({0x2B, 0x81}), decoded));                          // ends inside
  CHECK_FALSE(ber::decode_oid(bytes({0x2B, 0x90, 0x80, 0x80, 0x80, 0x00}), decoded));  // 33 bits
  CHECK(ber::decode_oid(std::string(127, '\x01'), decoded));  // 128 sub-identifiers, RFC 2578 section 3.5
  CHECK_FALSE(ber::decode_oid(std::string(128, '\x01'), decoded));
}

TEST_CASE("lengths are short below 128 and counted above") {
  std::string out;
  ber::append_octets(out, std::string(127, 'a'));
  CHECK(out.substr(0, 2) == bytes({4, 0x7F}));
  out.clear();
  ber::append_octets(out, std::string(128, 'a'));
  CHECK(out.substr(0, 3) == bytes({4, 0x81, 0x80}));
  out.clear();
  ber::append_octets(out, std::string(65536, 'a'));
  CHECK(out.substr(0, 5) == bytes({4, 0x83, 1, 0, 0}));
  for (const std::size_t length : {0, 127, 128, 255, 256, 65535, 65536}) {
    std::string header;
    ber::append_header(header, ber::sequence, length);
    CHECK(header.size() == ber::header_size(length));
  }
}

TEST_CASE("an element that ends early, is indefinite or claims too much is not taken") {
  std::string whole;
  ber::append_octets(whole, std::string(200, 'a'));
  for (std::size_t length = 0; length < whole.size(); ++length) {
    ber::Reader reader(std::string_view(whole).substr(0, length));
    CHECK_FALSE(reader.next().has_value());
    CHECK(reader.rest().size() == length);
  }
  CHECK(ber::Reader(whole).next()->body.size() == 200);
  CHECK_FALSE(ber::Reader(bytes({4, 0x80, 0, 0})).next().has_value());
  CHECK_FALSE(ber::Reader(bytes({4, 0x84, 0xFF, 0xFF, 0xFF, 0xFF, 1})).next().has_value());
  CHECK_FALSE(ber::Reader(bytes({4, 0x88, 0, 0, 0, 0, 0, 0, 0, 0})).next().has_value());
  CHECK_FALSE(ber::Reader(bytes({0x1F, 1, 1})).next().has_value());
}
