#include "probes/ipp/codec.h"

#include <catch2/catch.hpp>

#include "examples.h"
#include "probes/ipp/names.h"

namespace frisket::ipp {
namespace {

using model::Error;
using testing::ipp_examples;

Message decoded(std::string_view octets) {
  auto result = decode(octets);
  REQUIRE(result);
  return result->message;
}

// Builds hostile messages by hand.
class Octets {
 public:
  Octets& raw(std::string_view bytes) {
    text_ += bytes;
    return *this;
  }
  Octets& byte(int value) {
    text_ += static_cast<char>(value);
    return *this;
  }
  Octets& number(std::size_t value) { return byte(static_cast<int>(value >> 8)).byte(static_cast<int>(value & 0xff)); }
  Octets& header() { return raw(std::string("\x01\x01\x00\x00\x00\x00\x00\x01", 8)); }
  Octets& value(int tag, std::string_view name, std::string_view octets) {
    return byte(tag).number(name.size()).raw(name).number(octets.size()).raw(octets);
  }
  Octets& member(std::string_view name) { return value(0x4a, "", name); }
  Octets& charset() { return byte(0x01).value(0x47, "attributes-charset", "utf-8"); }
  Octets& end() { return byte(0x03); }
  operator std::string_view() const { return text_; }
  const std::string& text() const { return text_; }

 private:
  std::string text_;
};

const std::string kOne("\x00\x00\x00\x01", 4);

}  // namespace

// RFC 8010 Appendix A.
TEST_CASE("every example of RFC 8010 is read, and those without an empty group are written back octet by octet") {
  const auto examples = ipp_examples();
  REQUIRE(examples.size() == 12);
  for (const auto& [name, octets] : examples) {
    INFO(name);
    auto result = decode(octets);
    REQUIRE(result);
    const auto message = octets.substr(0, result->octets);
    if (name == "A.1")
      CHECK(octets.substr(result->octets) == "%!PDF");
    else
      CHECK(result->octets == octets.size());
    if (name == "A.9") continue;  // has an empty group, which only an answer may have
    auto again = encode(result->message);
    REQUIRE(again);
    CHECK(*again == message);
  }
}

TEST_CASE("a Print-Job request has the values that RFC 8010 A.1 prints") {
  const auto message = decoded(ipp_examples().at("A.1"));
  CHECK(message.major == 1);
  CHECK(message.minor == 1);
  CHECK(message.code == 0x0002);
  CHECK(message.request_id == 1);
  REQUIRE(message.groups.size() == 2);
  const auto& operation = message.groups[0];
  CHECK(operation.tag == GroupTag::operation);
  CHECK(operation.text("attributes-charset") == "utf-8");
  CHECK(operation.text("attributes-natural-language") == "en-us");
  CHECK(operation.text("job-name") == "foobar");
  CHECK(operation.boolean("ipp-attribute-fidelity") == true);
  CHECK(message.groups[1].tag == GroupTag::job);
  CHECK(message.groups[1].integer("copies") == 20);
  CHECK(message.groups[1].text("sides") == "two-sided-long-edge");
}

TEST_CASE("a collection has the members that RFC 8010 A.7 prints") {
  const auto message = decoded(ipp_examples().at("A.7"));
  const auto* media = message.groups.at(0).find("media-col");
  REQUIRE(media != nullptr);
  const auto* collection = std::get_if<Collection>(&media->values.at(0));
  REQUIRE(collection != nullptr);
  const auto* size = collection->find("media-size");
  REQUIRE(size != nullptr);
  const auto* inner = std::get_if<Collection>(&size->values.at(0));
  REQUIRE(inner != nullptr);
  CHECK(inner->find("x-dimension")->integer() == 21000);
  CHECK(inner->find("y-dimension")->integer() == 29700);
  CHECK(collection->find("media-type")->text() == "stationery");
}

TEST_CASE("three jobs come back as three groups although the second says nothing (RFC 8010 A.9)") {
  const auto message = decoded(ipp_examples().at("A.9"));
  const auto jobs = message.all(GroupTag::job);
  REQUIRE(jobs.size() == 3);
  CHECK(jobs[0]->integer("job-id") == 147);
  CHECK(jobs[1]->attributes.empty());
  CHECK(jobs[2]->integer("job-id") == 148);
}

TEST_CASE("an empty group is found before, between and after others of any kind") {
  const auto message = decoded(Octets()
                                   .header()
                                   .charset()
                                   .byte(0x02)
                                   .byte(0x02)
                                   .value(0x21, "job-id", kOne)
                                   .byte(0x02)
                                   .byte(0x04)
                                   .value(0x21, "queued-job-count", kOne)
                                   .byte(0x04)
                                   .end());
  REQUIRE(message.groups.size() == 6);
  CHECK(message.groups[1].tag == GroupTag::job);
  CHECK(message.groups[1].attributes.empty());
  CHECK(message.groups[2].integer("job-id") == 1);
  CHECK(message.groups[3].attributes.empty());
  CHECK(message.groups[4].integer("queued-job-count") == 1);
  CHECK(message.groups[5].attributes.empty());
}

TEST_CASE("no part of an example passes for the whole, at any length") {
  for (const auto& [name, octets] : ipp_examples()) {
    auto whole = decode(octets);
    REQUIRE(whole);
    for (std::size_t length = 0; length < whole->octets; ++length) {
      INFO(name << " cut to " << length);
      auto part = decode(std::string_view(octets).substr(0, length));
      REQUIRE_FALSE(part);
      CHECK(part.error().kind == Error::Kind::nonsense);
    }
  }
}

TEST_CASE("any single octet changed is read or rejected, never worse") {
  std::size_t read = 0;
  std::size_t rejected = 0;
  for (const auto& [name, octets] : ipp_examples())
    for (std::size_t at = 0; at < octets.size(); ++at)
      for (const int change : {0x01, 0x80, 0xff}) {
        std::string spoilt = octets;
        spoilt[at] = static_cast<char>(spoilt[at] ^ change);
        if (decode(spoilt))
          ++read;
        else
          ++rejected;
      }
  CHECK(read > 1000);
  CHECK(rejected > 1000);
}

// RFC 8010 section 3.8: out-of-band values.
TEST_CASE("unknown and no-value are neither 0 nor empty text") {
  const auto message = decoded(Octets()
                                   .header()
                                   .charset()
                                   .byte(0x04)
                                   .value(0x12, "queued-job-count", "")
                                   .value(0x13, "printer-location", "")
                                   .value(0x10, "printer-info", "")
                                   .end());
  const auto* printer = message.first(GroupTag::printer);
  REQUIRE(printer != nullptr);
  CHECK_FALSE(printer->integer("queued-job-count").has_value());
  REQUIRE(printer->find("queued-job-count") != nullptr);
  CHECK(printer->find("queued-job-count")->tag == ValueTag::unknown);
  CHECK(printer->find("printer-location")->tag == ValueTag::no_value);
  CHECK(printer->find("printer-info")->tag == ValueTag::unsupported);
}

// RFC 8010 section 3.5.2: the extension tag 0x7f, and tags that are not assigned.
TEST_CASE("values of unknown types are passed over by their length, and what surrounds them is read") {
  const std::string extended(
      "\x40\x00\x00\x01"
      "anything",
      12);
  const auto message = decoded(Octets()
                                   .header()
                                   .charset()
                                   .byte(0x04)
                                   .value(0x7f, "made-up", extended)
                                   .value(0x21, "", kOne)  // belongs to made-up
                                   .value(0x2e, "unassigned-integer", "xy")
                                   .value(0x21, "queued-job-count", kOne)
                                   .value(0x34, "media-col", "")
                                   .member("strange")
                                   .value(0x7f, "", extended)
                                   .member("media-type")
                                   .value(0x44, "", "stationery")
                                   .value(0x37, "", "")
                                   .value(0x44, "sides-supported", "one-sided")
                                   .value(0x7f, "", extended)
                                   .value(0x44, "", "two-sided-long-edge")
                                   .end());
  const auto* printer = message.first(GroupTag::printer);
  REQUIRE(printer != nullptr);
  CHECK(printer->find("made-up") == nullptr);
  CHECK(printer->find("unassigned-integer") == nullptr);
  CHECK(printer->integer("queued-job-count") == 1);
  const auto* collection = std::get_if<Collection>(&printer->find("media-col")->values.at(0));
  REQUIRE(collection != nullptr);
  CHECK(collection->find("strange") == nullptr);
  CHECK(collection->find("media-type")->text() == "stationery");
  CHECK(printer->texts("sides-supported") == std::vector<std::string>{"one-sided", "two-sided-long-edge"});
}

// Found by the fuzz driver.
TEST_CASE("a resolution in units of no edition is read as it came") {
  const auto message =
      decoded(Octets().header().charset().value(0x32, "r", std::string("\0\0\2\x58\0\0\2\x58\x74", 9)).end());
  CHECK(std::get<Resolution>(message.groups[0].find("r")->values[0]) == Resolution{600, 600, 0x74});
}

TEST_CASE("a group of an unknown kind is passed over as a group") {
  const auto message =
      decoded(Octets().header().charset().byte(0x0c).value(0x21, "x", kOne).byte(0x04).value(0x21, "y", kOne).end());
  REQUIRE(message.groups.size() == 3);
  CHECK(message.first(GroupTag::printer)->integer("y") == 1);
}

TEST_CASE("what is out of balance or out of place is rejected") {
  const std::vector<std::pair<std::string, std::string>> cases = {
      {"no group", Octets().header().value(0x21, "x", kOne).end().text()},
      {"a value first in a group", Octets().header().byte(0x01).value(0x21, "", kOne).end().text()},
      {"group 0", Octets().header().charset().byte(0x00).end().text()},
      {"a collection left open", Octets().header().charset().value(0x34, "c", "").end().text()},
      {"a collection ended twice",
       Octets().header().charset().value(0x34, "c", "").value(0x37, "", "").value(0x37, "", "").end().text()},
      {"a member without a name",
       Octets().header().charset().value(0x34, "c", "").value(0x21, "", kOne).value(0x37, "", "").end().text()},
      {"a member without a value",
       Octets().header().charset().value(0x34, "c", "").member("m").value(0x37, "", "").end().text()},
      {"two member names", Octets()
                               .header()
                               .charset()
                               .value(0x34, "c", "")
                               .member("m")
                               .member("n")
                               .value(0x21, "", kOne)
                               .value(0x37, "", "")
                               .end()
                               .text()},
      {"a group in a collection",
       Octets().header().charset().value(0x34, "c", "").byte(0x02).value(0x37, "", "").end().text()},
      {"an integer of 3 octets", Octets().header().charset().value(0x21, "x", "abc").end().text()},
      {"a boolean of 2 octets", Octets().header().charset().value(0x22, "x", "ab").end().text()},
      {"a date of 10 octets", Octets().header().charset().value(0x31, "x", "0123456789").end().text()},
      {"a range of 7 octets", Octets().header().charset().value(0x33, "x", "1234567").end().text()},
      {"a resolution of 8 octets", Octets().header().charset().value(0x32, "x", "12345678").end().text()},
      {"a text with an inner length too long", Octets()
                                                   .header()
                                                   .charset()
                                                   .value(0x35, "x",
                                                          std::string("\x00\x20"
                                                                      "en",
                                                                      4))
                                                   .end()
                                                   .text()},
      {"a length with the sign bit", Octets()
                                         .header()
                                         .charset()
                                         .byte(0x41)
                                         .number(1)
                                         .raw("x")
                                         .number(0x8000)
                                         .raw(std::string(0x8000, 'a'))
                                         .end()
                                         .text()},
  };
  for (const auto& [name, octets] : cases) {
    INFO(name);
    auto result = decode(octets);
    REQUIRE_FALSE(result);
    CHECK(result.error().kind == Error::Kind::nonsense);
  }
}

TEST_CASE("collections may nest as deeply as the bound and not one deeper") {
  const auto nested = [](std::size_t depth) {
    Octets octets;
    octets.header().charset().value(0x34, "c", "");
    for (std::size_t i = 1; i < depth; ++i) octets.member("c").value(0x34, "", "");
    for (std::size_t i = 0; i < depth; ++i) octets.value(0x37, "", "");
    return octets.end().text();
  };
  const Bounds bounds;
  CHECK(decode(nested(1)));
  CHECK(decode(nested(bounds.depth)));
  CHECK_FALSE(decode(nested(bounds.depth + 1)));
  CHECK_FALSE(decode(nested(100'000)));
}

TEST_CASE("more of anything than the bound is rejected") {
  const auto jobs = [](int count) {
    Octets octets;
    octets.header().charset();
    for (int i = 0; i < count; ++i) octets.byte(0x02).value(0x44, "k", "a").value(0x44, "", "b");
    return octets.end().text();
  };
  Bounds bounds;
  bounds.groups = 11;
  CHECK(decode(jobs(10), bounds));
  CHECK_FALSE(decode(jobs(11), bounds));
  bounds = {};
  bounds.attributes = 11;
  CHECK(decode(jobs(10), bounds));
  CHECK_FALSE(decode(jobs(11), bounds));
  bounds = {};
  bounds.values = 21;
  CHECK(decode(jobs(10), bounds));
  CHECK_FALSE(decode(jobs(11), bounds));
  bounds = {};
  bounds.octets = jobs(10).size();
  CHECK(decode(jobs(10), bounds));
  CHECK_FALSE(decode(jobs(11), bounds));
}

TEST_CASE("every type of value survives being written and read") {
  Message message;
  message.code = 0x000b;
  message.request_id = 77;
  Group group{GroupTag::operation, {}};
  group.attributes.push_back({"attributes-charset", ValueTag::charset, {Text{"utf-8", ""}}});
  group.attributes.push_back({"attributes-natural-language", ValueTag::natural_language, {Text{"en", ""}}});
  group.attributes.push_back({"integers", ValueTag::integer, {-1, 0, 2147483647}});
  group.attributes.push_back({"enumerations", ValueTag::enumeration, {3, 4}});
  group.attributes.push_back({"flags", ValueTag::boolean, {true, false}});
  group.attributes.push_back({"range", ValueTag::range, {Range{-1, 5}, Range{7, 8}}});
  group.attributes.push_back({"resolution", ValueTag::resolution, {Resolution{600, 1200, 3}}});
  group.attributes.push_back({"date", ValueTag::date_time, {DateTime{{7, 234, 11, 25, 8, 0, 0, 0, '+', 1, 0}}}});
  group.attributes.push_back(
      {"octets", ValueTag::octet_string, {Text{std::string("a\0b", 3), ""}, Text{"", ""}, Text{"type=toner;", ""}}});
  group.attributes.push_back({"keywords", ValueTag::keyword, {Text{"a", ""}, Text{"b", ""}}});
  group.attributes.push_back({"words", ValueTag::text_with_language, {Text{"Papier leer", "de"}}});
  group.attributes.push_back({"nothing", ValueTag::no_value, {OutOfBand{}}});
  Collection collection;
  collection.members.push_back({"media-type", ValueTag::keyword, {Text{"stationery", ""}}});
  collection.members.push_back({"sizes", ValueTag::integer, {1, 2}});
  group.attributes.push_back({"media-col", ValueTag::collection, {collection, collection}});
  message.groups.push_back(group);
  message.groups.push_back({GroupTag::job, {{"job-id", ValueTag::integer, {1}}}});
  message.groups.push_back({GroupTag::job, {{"job-id", ValueTag::integer, {2}}}});

  auto octets = encode(message);
  REQUIRE(octets);
  auto again = decode(*octets);
  REQUIRE(again);
  CHECK(again->message == message);
}

TEST_CASE("what cannot be written is refused") {
  const auto with = [](Attribute attribute) {
    Message message;
    message.groups.push_back({GroupTag::operation, {std::move(attribute)}});
    return encode(message);
  };
  CHECK(with({"job-name", ValueTag::name, {Text{std::string(1023, 'n'), ""}}}));
  CHECK_FALSE(with({"job-name", ValueTag::name, {Text{std::string(1024, 'n'), ""}}}));
  CHECK_FALSE(with({"job-name", ValueTag::name, {Text{std::string("a\0b", 3), ""}}}));
  CHECK_FALSE(with({"job-name", ValueTag::name, {7}}));
  CHECK_FALSE(with({"copies", ValueTag::integer, {Text{"7", ""}}}));
  CHECK_FALSE(with({"copies", ValueTag::integer, {}}));
  CHECK_FALSE(with({"", ValueTag::integer, {7}}));
  CHECK_FALSE(with({"resolution", ValueTag::resolution, {Resolution{600, 600, 0x74}}}));
  CHECK_FALSE(with({"words", ValueTag::text_with_language, {Text{"Papier", ""}}}));
  Message zero;
  zero.request_id = 0;
  CHECK_FALSE(encode(zero));
}

}  // namespace frisket::ipp
