#include "probes/snmp/oid.h"

#include <catch2/catch.hpp>

namespace frisket::snmp {

TEST_CASE("an object id reads and writes dotted text") {
  const auto oid = Oid::parse("1.3.6.1.2.1.43.11.1.1.9.1.4294967295");
  REQUIRE(oid);
  CHECK(oid->size() == 13);
  CHECK(to_text(*oid) == "1.3.6.1.2.1.43.11.1.1.9.1.4294967295");
  CHECK(Oid::parse(".1.3.6") == Oid{1, 3, 6});
}

TEST_CASE("what is no object id is refused") {
  for (const auto* text : {"", ".", "1.", "1..3", "1.3.", "a", "1.-3", "1.3 ", "1.4294967296"}) {
    CAPTURE(text);
    CHECK_FALSE(Oid::parse(text));
  }
  std::string longest = "1";
  for (std::size_t i = 1; i < kMaxOidLength; ++i) longest += ".1";
  CHECK(Oid::parse(longest));
  CHECK_FALSE(Oid::parse(longest + ".1"));
}

TEST_CASE("object ids are ordered as GETNEXT walks: sub-identifier by sub-identifier, prefix first") {
  CHECK((compare(Oid{1, 3, 6}, Oid{1, 3, 6}) == 0));
  CHECK((compare(Oid{1, 3}, Oid{1, 3, 0}) < 0));
  CHECK((compare(Oid{1, 3, 9}, Oid{1, 3, 10}) < 0));
  CHECK((compare(Oid{1, 4}, Oid{1, 3, 4294967295}) > 0));
}

TEST_CASE("an object id starts with itself and with each of its prefixes, and nothing else") {
  const Oid oid{1, 3, 6, 1};
  CHECK(starts_with(oid, Oid{}));
  CHECK(starts_with(oid, Oid{1, 3}));
  CHECK(starts_with(oid, oid));
  CHECK_FALSE(starts_with(oid, Oid{1, 3, 6, 1, 2}));
  CHECK_FALSE(starts_with(oid, Oid{1, 4}));
}

}  // namespace frisket::snmp
