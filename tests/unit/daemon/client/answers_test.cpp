#include "daemon/client/answers.h"

#include "fixture.h"

namespace frisket::client {
namespace {

std::string wrong_of(const char* json) {
  const auto decoded = devices_from(parse_json(json).value());
  return decoded ? "" : decoded.error().what;
}

}  // namespace

TEST_CASE("what is missing or null reads as empty") {
  const auto bare = device(R"({"name": "palm", "site": null, "supplies": null})");
  CHECK(bare.name == "palm");
  CHECK(bare.site.empty());
  CHECK(bare.supplies.empty());
  CHECK_FALSE(bare.impressions);
  CHECK_FALSE(bare.last_reading_at);
}

TEST_CASE("what is of the wrong kind is named by its JSON pointer") {
  CHECK(wrong_of("[]") == "the answer is array where an object belongs");
  CHECK(wrong_of(R"({})") == "/items is missing");
  CHECK(wrong_of(R"({"items": 5})") == "/items is number where an array belongs");
  CHECK(wrong_of(R"({"items": ["x"]})") == "/items/0 is string where an object belongs");
  CHECK(wrong_of(R"({"items": [{"name": "a"}, {"name": 3}]})") == "/items/1/name is number where a text belongs");
  CHECK(wrong_of(R"({"items": [{"name": "a", "console": ["x", 1]}]})") ==
        "/items/0/console is number where a text belongs");
  CHECK(wrong_of(R"({"items": [{"name": "a", "impressions": 1.5}]})") == "/items/0/impressions is not a whole number");
  CHECK(wrong_of(R"({"items": [{"name": "a", "impressions": 1e300}]})") ==
        "/items/0/impressions is not a whole number");
  CHECK(wrong_of(R"({"items": [{"name": "a", "last_reading_at": "noon"}]})") ==
        "/items/0/last_reading_at is not a time (RFC 3339)");
  CHECK(wrong_of(R"({"items": [{"name": "a", "covers": [{"open": "yes"}]}]})") ==
        "/items/0/covers/0/open is string where true or false belongs");
  CHECK(wrong_of(R"({"items": [{"name": "a", "supplies": [{"days_left": 3}]}]})") ==
        "/items/0/supplies/0/days_left is number where an object belongs");
  CHECK(wrong_of(R"({"items": [{"name": "a", "conditions": [{"severity": "dire"}]}]})") ==
        "/items/0/conditions/0/severity is not critical, major, minor or warning");
}

TEST_CASE("an incident without a severity is nonsense, since --fail-on could not judge it") {
  const auto decoded = incident_from(parse_json(R"({"id": "1"})").value());
  REQUIRE_FALSE(decoded);
  CHECK(decoded.error().kind == model::Error::Kind::nonsense);
  CHECK(decoded.error().what == "/severity is missing");
}

TEST_CASE("a whole incident is decoded") {
  const auto jam = incident(kJam);
  CHECK(jam.severity == Severity::critical);
  CHECK(jam.open());
  REQUIRE(jam.evidence.size() == 1);
  REQUIRE(jam.evidence[0].witnesses.size() == 2);
  CHECK(jam.evidence[0].witnesses[1].source == "error-bits");
  REQUIRE(jam.carry.size() == 1);
  CHECK(jam.carry[0].count == 1);
}

TEST_CASE("the counts of one site are told apart from the fleet's") {
  const auto fleet = parse_json(kFleet).value();
  CHECK(device_counts_from(fleet, "")->total == 14);
  CHECK(device_counts_from(fleet, "glasshouse")->total == 2);
  const auto none = device_counts_from(fleet, "orangery");
  REQUIRE_FALSE(none);
  CHECK(none.error().kind == model::Error::Kind::invalid);
}

TEST_CASE("an event that is about no incident is no notice") {
  CHECK_FALSE(notice_from(parse_json(R"({"device": "palm", "state": "ready"})").value())->has_value());
  CHECK(notice_from(parse_json(std::string(R"({"notice": "raised", "incident": )") + kJam + "}").value())->has_value());
}

TEST_CASE("JSON that is too deep, too wide, cut off or not JSON is nonsense, and nothing crashes") {
  CHECK(parse_json("{\"a\": [1, 2]}"));
  for (const std::string& text :
       {std::string(), std::string("nul"), std::string("{\"a\":"), std::string("\"\xff\""), std::string("<html>"),
        std::string(2'000'000, '['), std::string(33, '[') + std::string(33, ']')}) {
    const auto parsed = parse_json(text);
    REQUIRE_FALSE(parsed);
    CHECK(parsed.error().kind == model::Error::Kind::nonsense);
  }
  CHECK(parse_json(std::string(32, '[') + std::string(32, ']')));

  const auto object_of = [](std::size_t fields) {
    std::string text = "{";
    for (std::size_t i = 0; i < fields; ++i) text += (i == 0 ? "\"" : ",\"") + std::to_string(i) + "\":{}";
    return text + "}";
  };
  CHECK(parse_json(object_of(kMaxFields)));
  CHECK_FALSE(parse_json(object_of(kMaxFields + 1)));
}

TEST_CASE("every beginning of an answer is refused, and the whole is taken") {
  const std::string whole(kCopier);
  for (std::size_t length = 0; length < whole.size(); ++length) CHECK_FALSE(parse_json(whole.substr(0, length)));
  CHECK(parse_json(whole));
}

}  // namespace frisket::client
