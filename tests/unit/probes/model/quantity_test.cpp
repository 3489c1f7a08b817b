#include "probes/model/quantity.h"

#include <catch2/catch.hpp>
#include <cstdint>
#include <set>

#include "facts.h"

namespace frisket::model {
namespace {

// tests/facts/enums.tsv, rows "special:..." (RFC 3805, object texts).
TEST_CASE("the special values of a level are words, not amounts") {
  std::set<std::int32_t> seen;
  for (const auto& row : facts("enums.tsv")) {
    if (row.at(0) != "special:prtMarkerSuppliesLevel" && row.at(0) != "special:prtInputCurrentLevel" &&
        row.at(0) != "special:prtOutputRemainingCapacity")
      continue;
    const auto value = std::stoi(row.at(1));
    seen.insert(value);
    CHECK_FALSE(amount_of(decode_level(value)));
    if (row.at(2).starts_with("other")) CHECK(decode_level(value) == Level(Unlimited{}));
    if (row.at(2).starts_with("unknown")) CHECK(decode_level(value) == Level(Unknown{}));
    if (row.at(2).starts_with("some") || row.at(2).starts_with("at least"))
      CHECK(decode_level(value) == Level(SomeLeft{}));
  }
  CHECK(seen == std::set{-1, -2, -3});
}

TEST_CASE("a capacity has two special values, and a level's third means nothing there") {
  CHECK(decode_capacity(-1) == Capacity(Unlimited{}));
  CHECK(decode_capacity(-2) == Capacity(Unknown{}));
  CHECK(decode_capacity(-3) == Capacity(Unknown{}));
}

TEST_CASE("what the standard leaves undefined is unknown, never an amount") {
  for (const std::int32_t wire : {-4, -5, -100, INT32_MIN}) {
    CHECK(decode_level(wire) == Level(Unknown{}));
    CHECK(decode_capacity(wire) == Capacity(Unknown{}));
  }
}

TEST_CASE("zero and above are amounts") {
  for (const std::int32_t wire : {0, 1, 10000, INT32_MAX}) {
    CHECK(amount_of(decode_level(wire)) == wire);
    CHECK(amount_of(decode_capacity(wire)) == wire);
  }
}

TEST_CASE("what was not read is unknown") {
  CHECK(Level{} == Level(Unknown{}));
  CHECK(Capacity{} == Capacity(Unknown{}));
}

// RFC 3805, prtMarkerSuppliesLevel and prtMarkerSuppliesMaxCapacity: a percentage needs both numbers.
TEST_CASE("a percentage needs two amounts and a capacity above zero") {
  CHECK(percent_of(Amount{400}, Amount{10000}) == 4.0);
  CHECK(percent_of(Amount{0}, Amount{10000}) == 0.0);
  CHECK(percent_of(Amount{1}, Amount{3}) == Approx(33.3333333));
  CHECK(percent_of(Amount{10000}, Amount{10000}) == 100.0);
  CHECK_FALSE(percent_of(SomeLeft{}, Amount{10000}));
  CHECK_FALSE(percent_of(Unknown{}, Amount{10000}));
  CHECK_FALSE(percent_of(Unlimited{}, Amount{10000}));
  CHECK_FALSE(percent_of(Amount{5}, Unknown{}));
  CHECK_FALSE(percent_of(Amount{5}, Unlimited{}));
  CHECK_FALSE(percent_of(Amount{5}, Amount{0}));
  CHECK_FALSE(percent_of(Amount{0}, Amount{0}));
}

TEST_CASE("a level above its capacity is full, and large numbers do not overflow") {
  CHECK(percent_of(Amount{120}, Amount{100}) == 100.0);
  CHECK(percent_of(Amount{INT32_MAX}, Amount{1}) == 100.0);
  CHECK(percent_of(Amount{INT32_MAX}, Amount{INT32_MAX}) == 100.0);
  CHECK(percent_of(Amount{1'500'000'000}, Amount{2'000'000'000}) == 75.0);
}

}  // namespace
}  // namespace frisket::model
