#include "daemon/http/kept_form.h"

#include <catch2/catch.hpp>

#include "daemon/http/pieces_body.h"

using namespace frisket;
using namespace std::chrono_literals;
using http::KeptForm;
using http::Pieces;

namespace {

constexpr model::WallTime kEight{std::chrono::sys_days{std::chrono::January / 5 / 2026} + 8h};

json::Json reading_at(const json::Json& at) { return {{"last_reading_at", at}, {"name", "library-laser"}}; }

// As Beast's serializer takes them.
std::string sent(const Pieces& pieces) {
  const boost::beast::http::response_header<> header;
  const http::PiecesBody::value_type body = &pieces;
  http::PiecesBody::writer writer(header, body);
  boost::beast::error_code error;
  writer.init(error);
  std::string all;
  for (bool more = true; more;) {
    const auto batch = writer.get(error);
    if (!batch) break;
    for (const auto& buffer : batch->first) all.append(static_cast<const char*>(buffer.data()), buffer.size());
    more = batch->second;
  }
  return all;
}

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

TEST_CASE("pieces are sent whole and in order, however many, and empty ones do no harm") {
  for (const int count : {0, 1, 47, 48, 49, 96, 97, 1000}) {
    CAPTURE(count);
    Pieces pieces;
    for (int i = 0; i < count; ++i) {
      pieces.add(std::make_shared<const std::string>("," + std::to_string(i)), i == 0 ? 1 : 0);
      if (i % 3 == 0) pieces.add(std::string());
    }
    std::string expected;
    for (int i = 0; i < count; ++i) expected.append(i == 0 ? "" : ",").append(std::to_string(i));
    CHECK(pieces.text() == expected);
    CHECK(pieces.size() == expected.size());
    CHECK(sent(pieces) == expected);
  }
}
