// What agents that lie say is well-formed all the same, and the same in every way of asking.
#include "tests/simfleet/lie.h"

#include <catch2/catch.hpp>
#include <initializer_list>
#include <string>
#include <vector>

#include "tests/simfleet/agent.h"
#include "tests/simfleet/ber.h"
#include "tests/simfleet/fleet.h"

namespace frisket::simfleet {
namespace {

struct Said {
  Oid name;
  std::string value;  // encoded
};

struct Lying {
  Fleet fleet = one_printer();
  Device& device = *fleet.devices.front();
  Agent agent;
  Liar liar;

  static Fleet one_printer() {
    Bulk bulk;
    bulk.count = 1;
    bulk.base = parse_loopback("127.18.2.1").value();
    bulk.models = {FRISKET_TESTS_DIR "/simfleet/models/tarnwick-m210.toml"};
    return make_fleet(bulk);
  }

  std::vector<Said> ask(Fault fault, std::uint8_t pdu, const Oid& name, std::int32_t repetitions = 0) {
    std::string binding;
    ber::append_oid(binding, name);
    ber::append_empty(binding, ber::null);
    std::string list;
    ber::append_octets(list, binding, ber::sequence);
    std::string id;
    ber::append_integer(id, 7);
    Request request;
    request.community = "public";
    request.pdu = pdu;
    request.request_id = id;
    request.max_repetitions = repetitions;
    request.variables = list;
    const auto view = device.view(SimTime{0});
    std::string answer;
    REQUIRE(agent.answer(liar.understand(fault, request), view, {}, answer));
    liar.lie(fault, request, view, answer);
    Request said;
    REQUIRE(parse(answer, said) == Parsed::ok);
    std::vector<Said> all;
    ber::Reader variables(said.variables);
    while (const auto one = variables.next(ber::sequence)) {
      ber::Reader inside(one->body);
      auto& made = all.emplace_back();
      REQUIRE(ber::decode_oid(inside.next(ber::object_identifier)->body, made.name));
      made.value = inside.rest();
    }
    return all;
  }
};

// prtInputName (RFC 3805), of the printer 1.
const Oid kInputName{1, 3, 6, 1, 2, 1, 43, 8, 2, 1, 13, 1};

Oid row(std::initializer_list<std::uint32_t> index) {
  Oid name = kInputName;
  name.insert(name.end(), index);
  return name;
}

}  // namespace

TEST_CASE("rows numbered otherwise are found by those numbers, and by no others") {
  Lying lying;
  struct Numbering {
    Fault fault;
    Oid first;
    Oid second;
  };
  const auto numbering = GENERATE(Numbering{Fault::index_zero, row({0}), row({1})},
                                  Numbering{Fault::index_huge, row({2'147'000'001}), row({2'147'000'002})},
                                  Numbering{Fault::index_too_huge, row({4'294'000'001}), row({4'294'000'002})},
                                  Numbering{Fault::index_pair, row({1, 1}), row({2, 1})});
  const auto walked = lying.ask(numbering.fault, ber::get_bulk_request, kInputName, 2);
  REQUIRE(walked.size() == 2);
  CHECK(walked[0].name == numbering.first);
  CHECK(walked[1].name == numbering.second);
  const auto next = lying.ask(numbering.fault, ber::get_next_request, numbering.first);
  CHECK(next.at(0).name == numbering.second);
  const auto got = lying.ask(numbering.fault, ber::get_request, numbering.second);
  CHECK(got.at(0).name == numbering.second);
  CHECK(got.at(0).value == walked[1].value);
  const auto plain = lying.ask(numbering.fault, ber::get_request, row({3}));
  CHECK(plain.at(0).value != lying.ask(Fault::none, ber::get_request, row({3})).at(0).value);
}

TEST_CASE("an endless table goes on by one row at a time, and a stuck one not at all") {
  Lying lying;
  auto last = row({3});
  for (std::uint32_t expected = 4; expected < 200; ++expected) {
    const auto next = lying.ask(Fault::endless, ber::get_next_request, last);
    REQUIRE(next.at(0).name == row({expected}));
    last = next[0].name;
  }
  CHECK(lying.ask(Fault::stuck, ber::get_next_request, kInputName).at(0).name == kInputName);
}

TEST_CASE("texts become empty or as long as a datagram, types change, and the rest stays") {
  Lying lying;
  const auto truth = lying.ask(Fault::none, ber::get_request, row({1}));
  CHECK(lying.ask(Fault::empty_strings, ber::get_request, row({1})).at(0).value == std::string("\x04\x00", 2));
  const auto length = lying.ask(Fault::long_strings, ber::get_request, row({1})).at(0).value.size();
  CHECK((length > 64'000 && length < 65'507));
  CHECK(lying.ask(Fault::wrong_types, ber::get_request, row({1})).at(0).value.front() == '\x02');
  CHECK(lying.ask(Fault::nulls, ber::get_request, row({1})).at(0).value == std::string("\x05\x00", 2));
  CHECK(lying.ask(Fault::none, ber::get_request, row({1})).at(0).value == truth.at(0).value);
}

}  // namespace frisket::simfleet
