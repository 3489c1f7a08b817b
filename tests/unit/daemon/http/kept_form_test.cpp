#include "daemon/http/kept_form.h"

#include <catch2/catch.hpp>

using namespace frisket;
using namespace std::chrono_literals;
using http::KeptForm;

namespace {

constexpr model::WallTime kEight{std::chrono::sys_days{std::chrono::January / 5 / 2026} + 8h};

json::Json reading_at(const json::Json& at) { return {{"last_reading_at", at}, {"name", "library-laser"}}; }

}  // namespace

TEST_CASE("a kept form stands in a list behind its comma and elsewhere alone") {
  const KeptForm form(json::Json{{"a", 1}});
  CHECK(form.object() == R"({"a":1})");
  CHECK(*form.listed() == R"(,{"a":1})");
}

TEST_CASE("an answer that is under way keeps the text that it began with") {
  KeptForm form(reading_at(model::to_rfc3339(kEight)));
  const auto under_way = form.listed();
  const auto before = *under_way;
  REQUIRE(form.set_last_reading(kEight + 1min));
  CHECK(*under_way == before);
  CHECK(json::Json::parse(form.object()) == reading_at(model::to_rfc3339(kEight + 1min)));
}

TEST_CASE("a form without a time, or with none yet, takes no other one") {
  KeptForm nothing(json::Json{{"name", "library-laser"}});
  CHECK_FALSE(nothing.set_last_reading(kEight));
  KeptForm null(reading_at(nullptr));
  CHECK_FALSE(null.set_last_reading(kEight));
  CHECK(json::Json::parse(null.object()) == reading_at(nullptr));
}

TEST_CASE("a text inside the form that looks like the time's key is left alone") {
  const json::Json liar = {{"detail", R"("last_reading_at":")"}, {"last_reading_at", model::to_rfc3339(kEight)}};
  KeptForm form(liar);
  REQUIRE(form.set_last_reading(kEight + 1h));
  auto expected = liar;
  expected["last_reading_at"] = model::to_rfc3339(kEight + 1h);
  CHECK(json::Json::parse(form.object()) == expected);
}

TEST_CASE("fields are cut out of the text as it stands after a change of its time") {
  KeptForm form(reading_at(model::to_rfc3339(kEight)));
  REQUIRE(form.members().size() == 2);
  REQUIRE(form.set_last_reading(kEight + 1s));
  std::string some;
  http::append_selected(some, form.object(), form.members(), {"last_reading_at"});
  CHECK(json::Json::parse(some) == json::Json{{"last_reading_at", model::to_rfc3339(kEight + 1s)}});
}
