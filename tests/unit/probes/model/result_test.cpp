#include "probes/model/result.h"

#include <catch2/catch.hpp>
#include <memory>

namespace frisket::model {
namespace {

Error refusal() {
  return {Error::Kind::refused, "reading the supplies table", "herbarium-copier", "no such community"};
}

TEST_CASE("a result is a value or an error, never both") {
  const Result<int> value(7);
  CHECK(value.has_value());
  CHECK(*value == 7);
  const Result<int> failure(refusal());
  CHECK_FALSE(failure);
  CHECK(failure.error().kind == Error::Kind::refused);
}

TEST_CASE("taking what is not there is a bug, and throws") {
  const Result<int> value(7);
  const Result<int> failure(refusal());
  CHECK_THROWS_AS(failure.value(), std::bad_variant_access);
  CHECK_THROWS_AS(value.error(), std::bad_variant_access);
}

TEST_CASE("a value that can only be moved can be taken out") {
  Result<std::unique_ptr<int>> result(std::make_unique<int>(7));
  const auto taken = std::move(result).value();
  CHECK(*taken == 7);
}

TEST_CASE("an error reads as a sentence, with what is known of it") {
  CHECK(refusal().text() == "reading the supplies table of herbarium-copier: no such community");
  CHECK(Error{Error::Kind::silent, "polling", "", "no answer"}.text() == "polling: no answer");
  CHECK(Error{Error::Kind::silent, "polling", "fern", ""}.text() == "polling of fern");
}

}  // namespace
}  // namespace frisket::model
