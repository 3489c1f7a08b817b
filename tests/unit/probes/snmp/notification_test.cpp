// Notifications out of datagrams. The messages: worked_messages.h.
#include "probes/snmp/notification.h"

#include <catch2/catch.hpp>
#include <string>

#include "hex.h"
#include "probes/snmp/notification_codec.h"
#include "worked_messages.h"

namespace frisket::snmp {
namespace {

using namespace testing;
using Form = Notification::Form;

model::Result<NotificationCodec::Received> decode(std::string octets) {
  NotificationCodec codec;
  return codec.decode(octets_of(octets));
}

Notification decoded(std::string_view hex) {
  auto received = decode(from_hex(hex));
  REQUIRE(received);
  return received->notification;
}

// RFC 3805: printerV2Alert, and the columns of prtAlertTable that it carries.
const Oid kPrinterAlert{1, 3, 6, 1, 2, 1, 43, 18, 2, 0, 1};

VarBind cell(std::uint32_t column, std::int32_t value) {
  return {Oid{1, 3, 6, 1, 2, 1, 43, 18, 1, 1, column, 1, 17}, Integer{value}};
}
const std::vector<VarBind> kCoverOpen{cell(1, 17), cell(2, 3), cell(4, 6), cell(5, 1), cell(6, -1), cell(7, 3)};

}  // namespace

TEST_CASE("a printer's alert is the same notification as a v1 trap, a v2c trap and an inform") {
  const auto v1 = decoded(kWorkedTrapV1);
  const auto v2 = decoded(kWorkedTrap);
  const auto inform = decoded(kWorkedInform);
  for (const auto* notification : {&v1, &v2, &inform}) {
    CHECK(notification->name == kPrinterAlert);
    CHECK(notification->variables == kCoverOpen);
    CHECK(notification->community == "garden");
  }
  CHECK(v1.form == Form::trap_v1);
  CHECK(v1.agent_address == std::array<std::uint8_t, 4>{192, 0, 2, 77});
  CHECK(v1.up_time.value == 4294967295U);
  CHECK(v2.form == Form::trap_v2);
  CHECK(v2.request_id == 0x12d687);
  CHECK(v2.up_time.value == 123456);
  CHECK(inform.form == Form::inform);
  CHECK(inform.request_id == -2147483647);
}

TEST_CASE("a generic v1 trap has the name that RFC 3584 section 3.1 gives it, whatever its enterprise") {
  const auto cold_start = decoded(kWorkedColdStart);
  CHECK(cold_start.name == Oid{1, 3, 6, 1, 6, 3, 1, 1, 5, 1});
  CHECK(cold_start.community == "public");
  CHECK(cold_start.variables.empty());
}

TEST_CASE("an inform is answered octet for octet as another implementation answers it, a trap not at all") {
  const auto inform = decode(from_hex(kWorkedInform));
  REQUIRE(inform);
  CHECK(to_hex(inform->answer) == kWorkedInformAnswer);
  for (const auto trap : {kWorkedTrap, kWorkedTrapV1}) {
    const auto received = decode(from_hex(trap));
    REQUIRE(received);
    CHECK(received->answer.empty());
  }
}

TEST_CASE("one codec decodes whatever comes after whatever") {
  NotificationCodec codec;
  for (int round = 0; round < 3; ++round) {
    for (const auto hex : {kWorkedTrapV1, kWorkedInform, kWorkedGet, kWorkedTrap, kWorkedColdStart}) {
      auto octets = from_hex(hex);
      CHECK(codec.decode(octets_of(octets)).has_value() == (hex != kWorkedGet));
    }
  }
}

TEST_CASE("what is no notification is refused") {
  for (const auto other : {kWorkedGet, kWorkedGetNext, kWorkedGetBulk, kWorkedResponse, kWorkedInformAnswer})
    CHECK_FALSE(decode(from_hex(other)));
  CHECK_FALSE(decode(""));
  CHECK_FALSE(decode(std::string(60000, '\x30')));
}

TEST_CASE("a PDU in a message of a version that does not have it is refused") {
  // The version is the fifth octet where the length takes one octet, and the sixth where it takes two.
  auto trap = from_hex(kWorkedTrap);
  trap.at(5) = 0;
  CHECK_FALSE(decode(trap));
  auto trap_v1 = from_hex(kWorkedTrapV1);
  trap_v1.at(5) = 1;
  CHECK_FALSE(decode(trap_v1));
  for (const char version : {'\x02', '\x03', '\x7f'}) {
    trap_v1.at(5) = version;
    CHECK_FALSE(decode(trap_v1));
  }
}

TEST_CASE("a v2c trap that does not begin with sysUpTime.0 and snmpTrapOID.0 is refused") {
  const auto trap = from_hex(kWorkedTrap);
  const auto changed = [&](std::string_view what, std::string_view into) {
    auto octets = trap;
    const auto place = octets.find(from_hex(what));
    REQUIRE(place != std::string::npos);
    octets.replace(place, from_hex(what).size(), from_hex(into));
    return octets;
  };
  REQUIRE(decode(trap));
  CHECK_FALSE(decode(changed("06082b06010201010300", "06082b06010201010500")));              // sysName.0
  CHECK_FALSE(decode(changed("430301e240", "410301e240")));                                  // of type Counter32
  CHECK_FALSE(decode(changed("060a2b06010603010104010006", "060a2b06010603010104030006")));  // another name
}

TEST_CASE("a notification cut anywhere is refused") {
  for (const auto hex : {kWorkedTrapV1, kWorkedTrap, kWorkedInform}) {
    const auto whole = from_hex(hex);
    for (std::size_t length = 0; length < whole.size(); ++length) CHECK_FALSE(decode(whole.substr(0, length)));
  }
}

TEST_CASE("a notification with any one octet changed is decoded or refused, never worse") {
  for (const auto hex : {kWorkedTrapV1, kWorkedTrap, kWorkedInform}) {
    const auto whole = from_hex(hex);
    int accepted = 0;
    for (std::size_t at = 0; at < whole.size(); ++at) {
      for (int value = 0; value < 256; ++value) {
        auto octets = whole;
        octets[at] = static_cast<char>(value);
        const auto received = decode(octets);
        if (!received) continue;
        ++accepted;
        CHECK(describe(received->notification).size() < 2000);
      }
    }
    CHECK(accepted > 256);
  }
}

TEST_CASE("the line for the log is bounded, and holds nothing that a terminal obeys") {
  Notification notification;
  notification.name = kPrinterAlert;
  notification.variables = {{Oid{1, 3}, Octets{"\x1b[2J\n\"\\ caf\xc3\xa9"}}, {Oid{1, 4}, Integer{-1}}};
  CHECK(describe(notification) == R"(trap 1.3.6.1.2.1.43.18.2.0.1: 1.3="\x1b[2J\x0a\x22\x5c caf\xc3\xa9", 1.4=-1)");
  Oid longest;
  for (int i = 0; i < 128; ++i) longest.append(4294967295U);
  notification.name = longest;
  notification.variables.assign(1000, {longest, Octets{std::string(65000, '\0')}});
  const auto line = describe(notification);
  CHECK(line.size() < 4000);
  CHECK(line.ends_with(", ..."));
}

}  // namespace frisket::snmp
