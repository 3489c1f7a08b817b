#include "probes/snmp/codec.h"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdio>
#include <limits>

#include "hex.h"
#include "probes/snmp/peek.h"
#include "worked_messages.h"

namespace frisket::snmp {
namespace {

using namespace testing;

config::Credential garden() {
  config::Credential credential;
  credential.name = "office-read";
  credential.community = "garden";
  return credential;
}

std::string encoded(Operation operation, std::vector<Oid> names, std::int32_t id, std::int32_t repetitions = 0) {
  Codec codec;
  const auto message = codec.encode({operation, repetitions, std::move(names)}, garden(), id);
  REQUIRE(message);
  return to_hex(*message);
}

// What net-snmp writes to standard error while `act` runs.
template <class Act>
std::string stderr_of(Act act) {
  std::FILE* capture = std::tmpfile();
  const int kept = ::dup(2);
  ::dup2(::fileno(capture), 2);
  act();
  ::dup2(kept, 2);
  ::close(kept);
  std::string text(static_cast<std::size_t>(std::ftell(capture)), '\0');
  std::fseek(capture, 0, SEEK_END);
  text.resize(static_cast<std::size_t>(std::ftell(capture)));
  std::rewind(capture);
  text.resize(std::fread(text.data(), 1, text.size(), capture));
  std::fclose(capture);
  return text;
}

}  // namespace

TEST_CASE("requests are the octets that another implementation makes of them") {
  CHECK(encoded(Operation::get, {{1, 3, 6, 1, 2, 1, 1, 1, 0}, {1, 3, 6, 1, 2, 1, 43, 11, 1, 1, 9, 1, 1}}, 1234567) ==
        kWorkedGet);
  CHECK(encoded(Operation::get_next, {{1, 3, 6, 1, 2, 1, 43}}, 1) == kWorkedGetNext);
  CHECK(encoded(Operation::get_bulk, {{1, 3, 6, 1, 2, 1, 43, 18, 1, 1, 2, 1}}, 2147483647, 12) == kWorkedGetBulk);
}

TEST_CASE("an answer of another implementation is read value by value") {
  Codec codec;
  auto message = from_hex(kWorkedResponse);
  const auto response = codec.decode(octets_of(message), garden());
  REQUIRE(response);
  CHECK(response->error_status == ErrorStatus::no_error);
  CHECK(response->octets == message.size());
  const std::vector<VarBind> expected{
      {{1, 3, 6, 1, 2, 1, 1, 1, 0}, Octets{"G\xc4rten"}},
      {{1, 3, 6, 1, 2, 1, 43, 11, 1, 1, 9, 1, 1}, Integer{-3}},
      {{1, 3, 6, 1, 2, 1, 43, 10, 2, 1, 4, 1, 1}, Counter32{4294967295}},
      {{1, 3, 6, 1, 2, 1, 1, 3, 0}, TimeTicks{123456}},
      {{1, 3, 6, 1, 2, 1, 2, 2, 1, 5, 1}, Gauge32{2147483648}},
      {{1, 3, 6, 1, 2, 1, 31, 1, 1, 1, 6, 1}, Counter64{std::numeric_limits<std::uint64_t>::max()}},
      {{1, 3, 6, 1, 2, 1, 1, 2, 0}, Oid{1, 3, 6, 1, 4, 1, 99999, 1}},
      {{1, 3, 6, 1, 2, 1, 4, 20, 1, 1, 1}, IpAddress{{192, 0, 2, 10}}},
      {{1, 3, 6, 1, 2, 1, 25, 3, 5, 1, 2, 1}, Opaque{0x44}},
      {{1, 3, 6, 1, 2, 1, 43, 5, 1, 1, 17, 1}, NoSuchInstance{}},
      {{1, 3, 6, 1, 2, 1, 43, 99, 0}, NoSuchObject{}},
      {{1, 3, 6, 1, 9}, EndOfMibView{}},
      {{1, 3, 6, 1, 2, 1, 43, 5, 1, 1, 1, 1}, Null{}},
  };
  REQUIRE(response->variables.size() == expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    CAPTURE(i);
    const bool same = response->variables[i] == expected[i];
    CHECK(same);
  }
}

TEST_CASE("an error status and its index are read, and count as an answer") {
  Codec codec;
  auto message = from_hex(kWorkedError);
  const auto response = codec.decode(octets_of(message), garden());
  REQUIRE(response);
  CHECK(response->error_status == ErrorStatus::authorization_error);
  CHECK(response->error_index == 2);
  CHECK(response->refused());
  CHECK(to_text(response->error_status) == "authorizationError");
  CHECK(to_text(static_cast<ErrorStatus>(99)) == "error status 99");
}

TEST_CASE("an answer of another version, community or kind is no answer") {
  Codec codec;
  const auto refuses = [&](std::string message, const config::Credential& credential) {
    const auto response = codec.decode(octets_of(message), credential);
    return !response && response.error().kind == model::Error::Kind::nonsense;
  };
  auto other = garden();
  other.community = "orchard";
  CHECK(refuses(from_hex(kWorkedResponse), other));
  auto older = garden();
  older.version = config::SnmpVersion::v1;
  CHECK(refuses(from_hex(kWorkedResponse), older));
  CHECK(refuses(from_hex(kWorkedGet), garden()));  // a request that came back
  // The same with the tags of SetRequest, InformRequest, SNMPv2-Trap and Report (RFC 3416 section 3).
  for (const char tag : {'\xa3', '\xa6', '\xa7', '\xa8'}) {
    auto message = from_hex(kWorkedGet);
    message[13] = tag;
    CHECK(refuses(message, garden()));
  }
}

TEST_CASE("what cannot be sent is refused before it is sent") {
  Codec codec;
  const auto kind = [&](const Request& request, config::SnmpVersion version) {
    auto credential = garden();
    credential.version = version;
    const auto message = codec.encode(request, credential, 1);
    REQUIRE_FALSE(message);
    return message.error().kind;
  };
  const Oid name{1, 3, 6, 1};
  CHECK(kind({Operation::get_bulk, 1, {name}}, config::SnmpVersion::v1) == model::Error::Kind::invalid);
  CHECK(kind({Operation::get, 0, {name}}, config::SnmpVersion::v3) == model::Error::Kind::invalid);
  CHECK(kind({Operation::get, 0, {Oid{}}}, config::SnmpVersion::v2c) == model::Error::Kind::invalid);
}

TEST_CASE("every truncation of an answer is refused without a crash or a word") {
  Codec codec;
  const auto whole = from_hex(kWorkedResponse);
  const auto said = stderr_of([&] {
    for (std::size_t length = 0; length < whole.size(); ++length) {
      auto cut = whole.substr(0, length);
      CAPTURE(length);
      CHECK_FALSE(codec.decode(octets_of(cut), garden()));
    }
  });
  CHECK(said.empty());
}

TEST_CASE("no single flipped bit crashes the codec, makes it talk, or gets past the community") {
  Codec codec;
  const auto whole = from_hex(kWorkedResponse);
  std::size_t read = 0;
  const auto said = stderr_of([&] {
    for (std::size_t bit = 0; bit < whole.size() * 8; ++bit) {
      auto flipped = whole;
      flipped[bit / 8] = static_cast<char>(flipped[bit / 8] ^ (1 << (bit % 8)));
      peek(octets_of(flipped));
      const auto response = codec.decode(octets_of(flipped), garden());
      if (!response) continue;
      ++read;
      const bool in_community = bit / 8 >= 9 && bit / 8 < 15;
      CHECK_FALSE(in_community);
    }
  });
  CHECK(said.empty());
  CHECK(read > 0);  // flips inside values leave a well-formed message
}

TEST_CASE("an octet string of 60,000 octets is read whole") {
  Codec codec;
  const std::string text(60000, 'x');
  // 30 84 <len> 02 01 01 04 06 garden a2 84 <len> id, status, index, list of one binding.
  const auto wrap = [](std::string tag, const std::string& body) {
    const auto n = body.size();
    for (int shift = 24; shift >= 0; shift -= 8) tag += static_cast<char>(n >> static_cast<unsigned>(shift) & 0xffU);
    return tag + body;
  };
  const auto binding = wrap("\x30\x84", from_hex("06082b06010201010100") + wrap("\x04\x84", text));
  const auto pdu = wrap("\xa2\x84", from_hex("020101020100020100") + wrap("\x30\x84", binding));
  auto message = wrap("\x30\x84", from_hex("020101040667617264656e") + pdu);
  const auto response = codec.decode(octets_of(message), garden());
  REQUIRE(response);
  const auto* octets = std::get_if<Octets>(&response->variables.at(0).value);
  REQUIRE(octets != nullptr);
  CHECK(octets->value.size() == 60000);
}

TEST_CASE("a peek tells version, community, kind and request id, or nothing") {
  auto message = from_hex(kWorkedResponse);
  const auto outline = peek(octets_of(message));
  REQUIRE(outline);
  CHECK(outline->version == 1);
  CHECK(outline->community == "garden");
  CHECK(outline->pdu_tag == kResponseTag);
  CHECK(outline->request_id == 1234567);
  auto negative = from_hex(kWorkedError);
  CHECK(peek(octets_of(negative))->request_id == -1);

  const std::size_t end_of_id = 4 + 3 + 8 + 4 + 5;  // headers, version, community, PDU header, id
  for (std::size_t length = 0; length < end_of_id; ++length) {
    auto cut = message.substr(0, length);
    CAPTURE(length);
    CHECK_FALSE(peek(octets_of(cut)));
  }
  // Not BER, another version, an indefinite length, a length of five octets.
  for (const auto* hex : {"ffffffffffff", "3024020103040667617264656ea117020101", "3080020101", "308500000000ff020101",
                          "30240201010486ffffffffffff"}) {
    auto bytes = from_hex(hex);
    CAPTURE(hex);
    CHECK_FALSE(peek(octets_of(bytes)));
  }
}

}  // namespace frisket::snmp
