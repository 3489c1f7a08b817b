// The agent against RFC 3416 section 4.2 and RFC 1157 section 4.1, on a small list of objects.
#include "tests/simfleet/agent.h"

#include <catch2/catch.hpp>
#include <limits>

using namespace frisket::simfleet;

namespace {

struct Variable {
  std::string oid;
  std::uint8_t tag = 0;
  std::int64_t number = 0;
  friend bool operator==(const Variable&, const Variable&) = default;
};

std::ostream& operator<<(std::ostream& out, const Variable& v) {
  return out << v.oid << " " << std::hex << int{v.tag} << std::dec << " " << v.number;
}

struct Answer {
  bool sent = false;
  std::int64_t status = 0;
  std::int64_t index = 0;
  std::vector<Variable> variables;
  std::size_t size = 0;
};

constexpr std::uint8_t kInteger = ber::integer;

std::string number(std::int64_t value) {
  std::string out;
  ber::append_integer(out, value);
  return out;
}

// An agent with rows 1 and 2 of columns 1.3.1 and 1.3.2, and a column 1.3.3 without rows.
class Bench {
 public:
  Bench() {
    mib_.add({1, 3, 1, 2}, number(12));
    mib_.add({1, 3, 2, 1}, number(21));
    mib_.add({1, 3, 1, 1}, number(11));
    mib_.add({1, 3, 2, 2}, number(22));
    for (const std::uint32_t column : {1U, 2U, 3U}) mib_.add_object({1, 3, column});
    mib_.finish();
  }

  void set(const char* oid, std::int64_t value) {
    Extra extra{ber::parse_oid(oid).value(), {}, number(value)};
    ber::append_oid(extra.name, extra.oid);
    extras.push_back(extra);
  }

  Answer ask(std::uint8_t pdu, const std::vector<std::string>& oids, std::int32_t first = 0, std::int32_t second = 0,
             Version version = Version::v2c, Limits limits = {}) {
    std::string list;
    for (const auto& oid : oids) {
      std::string binding;
      ber::append_oid(binding, ber::parse_oid(oid).value());
      ber::append_empty(binding, ber::null);
      ber::append_octets(list, binding, ber::sequence);
    }
    return ask_raw(pdu, list, first, second, version, limits);
  }

  Answer ask_raw(std::uint8_t pdu, const std::string& list, std::int32_t first = 0, std::int32_t second = 0,
                 Version version = Version::v2c, Limits limits = {}) {
    Request request;
    request.version = version;
    request.community = "moss";
    request.pdu = pdu;
    request.request_id = id_;
    request.non_repeaters = first;
    request.max_repetitions = second;
    request.variables = list;
    const View view(mib_, filled_, extras, hidden, shadowing, 100);
    std::string out;
    Answer answer;
    answer.sent = agent_.answer(request, view, limits, out);
    if (answer.sent) read(out, answer);
    return answer;
  }

  std::vector<Extra> extras;
  std::vector<Oid> hidden;
  bool shadowing = false;

 private:
  void read(const std::string& out, Answer& answer) {
    Request back;
    REQUIRE(parse(out, back) == Parsed::ok);
    CHECK(back.pdu == ber::response);
    CHECK(back.community == "moss");
    CHECK(back.request_id == id_);
    answer.size = out.size();
    answer.status = back.non_repeaters;  // the same two fields
    answer.index = back.max_repetitions;
    ber::Reader list(back.variables);
    while (!list.empty()) {
      const auto binding = list.next(ber::sequence);
      REQUIRE(binding);
      ber::Reader inside(binding->body);
      const auto name = inside.next(ber::object_identifier);
      const auto value = inside.next();
      REQUIRE(name);
      REQUIRE(value);
      Oid oid;
      REQUIRE(ber::decode_oid(name->body, oid));
      answer.variables.push_back({ber::to_text(oid), value->tag, ber::decode_integer(value->body).value_or(0)});
    }
  }

  Mib mib_;
  Filled filled_;
  Agent agent_;
  std::string id_ = number(77);
};

}  // namespace

TEST_CASE("GET tells values, and which of the two is missing: the object or the instance") {
  Bench bench;
  const auto answer = bench.ask(ber::get_request, {"1.3.2.1", "1.3.1.9", "1.3.3.1", "1.3.4.1", "1.3", "1.3.1"});
  CHECK(answer.status == 0);
  CHECK(answer.variables == std::vector<Variable>{{"1.3.2.1", kInteger, 21},
                                                  {"1.3.1.9", ber::no_such_instance, 0},
                                                  {"1.3.3.1", ber::no_such_instance, 0},
                                                  {"1.3.4.1", ber::no_such_object, 0},
                                                  {"1.3", ber::no_such_object, 0},
                                                  {"1.3.1", ber::no_such_instance, 0}});
}

TEST_CASE("the same list asked twice is answered from what is so the second time") {
  Bench bench;
  const std::vector<std::string> list{"1.3.1.1", "1.3.3.7"};
  CHECK(bench.ask(ber::get_request, list).variables ==
        std::vector<Variable>{{"1.3.1.1", kInteger, 11}, {"1.3.3.7", ber::no_such_instance, 0}});
  bench.set("1.3.3.7", 37);
  CHECK(bench.ask(ber::get_request, list).variables ==
        std::vector<Variable>{{"1.3.1.1", kInteger, 11}, {"1.3.3.7", kInteger, 37}});
  bench.set("1.3.1.1", 99);
  bench.shadowing = true;
  CHECK(bench.ask(ber::get_request, list).variables ==
        std::vector<Variable>{{"1.3.1.1", kInteger, 99}, {"1.3.3.7", kInteger, 37}});
  bench.hidden = {{1, 3, 1}};
  CHECK(bench.ask(ber::get_request, list).variables ==
        std::vector<Variable>{{"1.3.1.1", ber::no_such_object, 0}, {"1.3.3.7", kInteger, 37}});
}

TEST_CASE("GETNEXT goes through the model's and the device's own objects in one order") {
  Bench bench;
  bench.set("1.3.1.3", 13);
  bench.set("1.3.3.1", 31);
  std::vector<Variable> walked;
  for (std::string at = "0.0"; walked.size() < 20;) {
    const auto answer = bench.ask(ber::get_next_request, {at});
    REQUIRE(answer.variables.size() == 1);
    walked.push_back(answer.variables[0]);
    if (walked.back().tag == ber::end_of_mib_view) break;
    at = walked.back().oid;
  }
  CHECK(walked == std::vector<Variable>{{"1.3.1.1", kInteger, 11},
                                        {"1.3.1.2", kInteger, 12},
                                        {"1.3.1.3", kInteger, 13},
                                        {"1.3.2.1", kInteger, 21},
                                        {"1.3.2.2", kInteger, 22},
                                        {"1.3.3.1", kInteger, 31},
                                        {"1.3.3.1", ber::end_of_mib_view, 0}});
}

TEST_CASE("an object set by a test hides the model's of the same name, once, in a walk") {
  Bench bench;
  bench.set("1.3.1.2", 99);
  bench.shadowing = true;
  CHECK(bench.ask(ber::get_next_request, {"1.3.1.1"}).variables == std::vector<Variable>{{"1.3.1.2", kInteger, 99}});
  CHECK(bench.ask(ber::get_next_request, {"1.3.1.2"}).variables == std::vector<Variable>{{"1.3.2.1", kInteger, 21}});
}

TEST_CASE("GETBULK gives the first variables once and repeats the rest side by side") {
  Bench bench;
  const auto answer = bench.ask(ber::get_bulk_request, {"1.3.1.1", "1.3.1", "1.3.2"}, 1, 2);
  CHECK(answer.variables == std::vector<Variable>{{"1.3.1.2", kInteger, 12},
                                                  {"1.3.1.1", kInteger, 11},
                                                  {"1.3.2.1", kInteger, 21},
                                                  {"1.3.1.2", kInteger, 12},
                                                  {"1.3.2.2", kInteger, 22}});
}

TEST_CASE("GETBULK ends after the repetition in which all are past the end") {
  Bench bench;
  const auto answer = bench.ask(ber::get_bulk_request, {"1.3.2.1", "1.3.2.2"}, 0, 100);
  CHECK(answer.variables == std::vector<Variable>{{"1.3.2.2", kInteger, 22},
                                                  {"1.3.2.2", ber::end_of_mib_view, 0},
                                                  {"1.3.2.2", ber::end_of_mib_view, 0},
                                                  {"1.3.2.2", ber::end_of_mib_view, 0}});
}

TEST_CASE("GETBULK takes negative and huge fields for what RFC 3416 says they mean") {
  Bench bench;
  CHECK(bench.ask(ber::get_bulk_request, {"1.3.1"}, -5, 1).variables ==
        std::vector<Variable>{{"1.3.1.1", kInteger, 11}});
  CHECK(bench.ask(ber::get_bulk_request, {"1.3.1"}, 0, -5).variables.empty());
  CHECK(bench.ask(ber::get_bulk_request, {"1.3.1"}, 2147483647, 2147483647).variables ==
        std::vector<Variable>{{"1.3.1.1", kInteger, 11}});
  CHECK(bench.ask(ber::get_bulk_request, {}, 0, 10).variables.empty());
}

TEST_CASE("GETBULK leaves out what does not fit, a GET that does not fit is tooBig with no variables") {
  Bench bench;
  for (std::uint32_t i = 1; i <= 300; ++i) bench.set(("1.3.3." + std::to_string(i)).c_str(), i);
  const auto bulk = bench.ask(ber::get_bulk_request, {"1.3.3"}, 0, 300, Version::v2c, {1472, 1400});
  CHECK(bulk.status == 0);
  CHECK(bulk.size <= 1400);
  CHECK(bulk.size > 1370);
  CHECK(bulk.variables.size() > 100);
  CHECK(bulk.variables.back().number == static_cast<std::int64_t>(bulk.variables.size()));
  const std::vector<std::string> many(200, "1.3.1.1");
  const auto big = bench.ask(ber::get_request, many);
  CHECK(big.status == 1);
  CHECK(big.index == 0);
  CHECK(big.variables.empty());
  // RFC 1157 section 4.1.2: version 1 gives the request's own list back.
  CHECK(bench.ask(ber::get_request, many, 0, 0, Version::v1).variables.size() == 200);
}

TEST_CASE("version 1 knows noSuchName and its place, and no GETBULK") {
  Bench bench;
  const auto missing = bench.ask(ber::get_request, {"1.3.1.1", "1.3.4.1", "1.3.5.1"}, 0, 0, Version::v1);
  CHECK(missing.status == 2);
  CHECK(missing.index == 2);
  CHECK(missing.variables.size() == 3);
  CHECK(bench.ask(ber::get_next_request, {"1.3.2.2"}, 0, 0, Version::v1).status == 2);
  CHECK_FALSE(bench.ask(ber::get_bulk_request, {"1.3.1"}, 0, 5, Version::v1).sent);
}

TEST_CASE("nothing can be written") {
  Bench bench;
  const auto refused = bench.ask(ber::set_request, {"1.3.1.1"});
  CHECK(refused.status == 6);
  CHECK(refused.index == 1);
  CHECK(bench.ask(ber::set_request, {"1.3.1.1"}, 0, 0, Version::v1).status == 2);
  CHECK(bench.ask(ber::get_request, {"1.3.1.1"}).variables[0].number == 11);
}

TEST_CASE("a malformed list and anything that is no request get no answer") {
  Bench bench;
  CHECK_FALSE(bench.ask_raw(ber::get_request, "\x30\x05xx").sent);
  CHECK_FALSE(bench.ask_raw(ber::get_next_request, std::string("\x30\x02\x06\x00", 4)).sent);
  CHECK_FALSE(bench.ask_raw(ber::get_request, "zz").sent);
  for (const std::uint8_t pdu : {ber::response, ber::inform_request, ber::trap_v2, ber::report})
    CHECK_FALSE(bench.ask(pdu, {"1.3.1.1"}).sent);
}

TEST_CASE("a message cut anywhere is malformed, and version 3 is told apart") {
  std::string list, pdu, body, message;
  ber::append_integer(pdu, 77);
  ber::append_integer(pdu, 0);
  ber::append_integer(pdu, 0);
  ber::append_octets(pdu, list, ber::sequence);
  ber::append_integer(body, 1);
  ber::append_octets(body, "moss");
  ber::append_octets(body, pdu, ber::get_request);
  ber::append_octets(message, body, ber::sequence);
  Request request;
  REQUIRE(parse(message, request) == Parsed::ok);
  CHECK(request.community == "moss");
  for (std::size_t length = 0; length < message.size(); ++length)
    CHECK(parse(std::string_view(message).substr(0, length), request) == Parsed::malformed);
  message[4] = 3;
  CHECK(parse(message, request) == Parsed::other_version);
}
