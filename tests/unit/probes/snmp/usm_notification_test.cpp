// SNMPv3 notifications against another hand's messages: usm_hand.h.
#include "probes/snmp/usm_notification_codec.h"

#include <catch2/catch.hpp>
#include <chrono>

#include "hex.h"
#include "usm_agent.h"

namespace frisket::snmp {
namespace {

using namespace testing;
using namespace std::chrono_literals;
using config::Authentication;
using config::Privacy;
using model::Error;
namespace ber = simfleet::ber;

const std::string kOwn = from_hex("80007ed905000102030405060708090a0b");
const std::string kPrinter = from_hex("80007ed9046865726261726975");
const model::SteadyTime kNow{1h};
const Oid kPrinterAlert{1, 3, 6, 1, 2, 1, 43, 18, 2, 0, 1};
const VarBind kSeverity{Oid{1, 3, 6, 1, 2, 1, 43, 18, 1, 1, 2, 1, 17}, Integer{3}};

config::Credential credential(Authentication authentication, Privacy privacy, const std::string& name = "garden") {
  config::Credential made;
  made.name = "protected";
  made.version = config::SnmpVersion::v3;
  made.user.name = name;
  made.user.authentication = authentication;
  made.user.authentication_password = "moss and fern";
  made.user.privacy = privacy;
  made.user.privacy_password = "liverwort";
  return made;
}

const config::Credential kSha256Aes = credential(Authentication::sha_256, Privacy::aes_128);

unsigned flags_of(const config::User& user) {
  return user.authentication == Authentication::none ? 0U : user.privacy == Privacy::none ? 1U : 3U;
}

// An alert as the user sends it.
UsmMessage alert(const config::User& user, std::uint8_t pdu, const std::string& engine, std::uint32_t boots,
                 std::uint32_t time) {
  UsmMessage message;
  message.id = 4711;
  message.flags = flags_of(user) | (pdu == ber::inform_request ? 4U : 0U);
  message.engine_id = message.context_engine_id = engine;
  message.boots = boots;
  message.time = time;
  message.user = user.name;
  message.pdu = pdu;
  message.request_id = 99;
  message.variables = encode_variables({{Oid{1, 3, 6, 1, 2, 1, 1, 3, 0}, TimeTicks{123456}},
                                        {Oid{1, 3, 6, 1, 6, 3, 1, 1, 4, 1, 0}, kPrinterAlert},
                                        kSeverity});
  return message;
}

struct Desk {
  UsmNotificationCodec codec{LocalEngine{kOwn, 7}};

  model::Result<UsmNotificationCodec::Received> take(const UsmMessage& message, const config::User& sealed_by,
                                                     std::vector<config::Credential> users,
                                                     model::SteadyTime now = kNow) {
    auto datagram = seal_message(message, sealed_by);
    return codec.decode(octets_of(datagram), users, now);
  }

  // What a sender of informs learns first (RFC 3414 section 4).
  UsmMessage discover() {
    UsmMessage question;
    question.id = 12;
    question.flags = 4;
    question.pdu = ber::get_request;
    question.request_id = 34;
    auto datagram = seal_message(question, {});
    const auto received = codec.decode(octets_of(datagram), {}, kNow);
    REQUIRE(received);
    CHECK_FALSE(received->notification);
    const auto report = open_message(received->answer, {});
    REQUIRE(report);
    return *report;
  }

  // And second: our time, by an inform that is out of it (RFC 3414 section 4).
  UsmMessage synchronise(const config::User& user, std::uint32_t boots, std::uint32_t time) {
    const auto received = take(alert(user, ber::inform_request, kOwn, boots, time), user, {kSha256Aes});
    REQUIRE(received);
    CHECK_FALSE(received->notification);
    const auto report = open_message(received->answer, user);
    REQUIRE(report);
    return *report;
  }
};

Error::Kind kind(const model::Result<UsmNotificationCodec::Received>& received) {
  REQUIRE_FALSE(received);
  return received.error().kind;
}

}  // namespace

TEST_CASE("a trap of every pair of hash and cipher is taken, with its user and what it says") {
  for (const auto authentication : {Authentication::md5, Authentication::sha, Authentication::sha_224,
                                    Authentication::sha_256, Authentication::sha_384, Authentication::sha_512}) {
    for (const auto privacy : {Privacy::none, Privacy::aes_128, Privacy::aes_256}) {
      Desk desk;
      const auto with = credential(authentication, privacy);
      const auto received = desk.take(alert(with.user, ber::trap_v2, kPrinter, 3, 500), with.user, {with});
      REQUIRE(received);
      REQUIRE(received->notification);
      CHECK(received->notification->name == kPrinterAlert);
      CHECK(received->notification->variables == std::vector<VarBind>{kSeverity});
      CHECK(received->notification->user == "garden");
      CHECK(received->answer.empty());
    }
  }
}

TEST_CASE("a trap of a user that nobody has configured, or at a lower level than his, is refused") {
  Desk desk;
  const auto& user = kSha256Aes.user;
  const auto trap = alert(user, ber::trap_v2, kPrinter, 3, 500);
  CHECK(kind(desk.take(trap, user, {})) == Error::Kind::unknown_user);
  CHECK(kind(desk.take(trap, user, {credential(Authentication::sha_256, Privacy::aes_128, "meadow")})) ==
        Error::Kind::unknown_user);
  for (const auto& lower :
       {credential(Authentication::none, Privacy::none), credential(Authentication::sha_256, Privacy::none)})
    CHECK(kind(desk.take(alert(lower.user, ber::trap_v2, kPrinter, 3, 500), lower.user, {kSha256Aes})) ==
          Error::Kind::unknown_user);
}

TEST_CASE("a trap with another password, or with one octet changed, is no proof") {
  Desk desk;
  auto forger = kSha256Aes.user;
  forger.authentication_password = "not the password";
  CHECK(kind(desk.take(alert(forger, ber::trap_v2, kPrinter, 3, 500), forger, {kSha256Aes})) == Error::Kind::wrong_key);

  const auto whole = seal_message(alert(kSha256Aes.user, ber::trap_v2, kPrinter, 3, 500), kSha256Aes.user);
  for (std::size_t at = 0; at < whole.size(); ++at) {
    auto changed = whole;
    changed[at] = static_cast<char>(changed[at] ^ 1);
    const std::vector users{kSha256Aes};
    CHECK_FALSE(desk.codec.decode(octets_of(changed), users, kNow));
  }
}

TEST_CASE("a trap that is sent again when its engine's time has moved on is refused") {
  Desk desk;
  const auto& user = kSha256Aes.user;
  const auto at = [&](std::uint32_t boots, std::uint32_t time) {
    return alert(user, ber::trap_v2, kPrinter, boots, time);
  };
  CHECK(desk.take(at(3, 500), user, {kSha256Aes}));
  CHECK(desk.take(at(3, 900), user, {kSha256Aes}));
  CHECK(kind(desk.take(at(3, 500), user, {kSha256Aes})) == Error::Kind::wrong_key);
  CHECK(desk.take(at(3, 800), user, {kSha256Aes}));  // within RFC 3414's 150 s
  CHECK(desk.take(at(4, 1), user, {kSha256Aes}));    // restarted
  CHECK(kind(desk.take(at(3, 950), user, {kSha256Aes})) == Error::Kind::wrong_key);
}

TEST_CASE("who asks is told our engine, and an inform to it is answered under the same seal") {
  Desk desk;
  const auto report = desk.discover();
  CHECK(report.pdu == ber::report);
  CHECK(report.id == 12);
  CHECK(report.engine_id == kOwn);
  CHECK(report.flags == 0);
  CHECK(report.names() == std::vector<Oid>{Oid{1, 3, 6, 1, 6, 3, 15, 1, 1, 4, 0}});  // usmStatsUnknownEngineIDs.0

  const auto& user = kSha256Aes.user;
  const auto time = desk.synchronise(user, 0, 0);
  CHECK(time.boots == 7);
  const auto inform = alert(user, ber::inform_request, kOwn, time.boots, time.time);
  const auto received = desk.take(inform, user, {kSha256Aes});
  REQUIRE(received);
  REQUIRE(received->notification);
  CHECK(received->notification->form == Notification::Form::inform);
  CHECK(received->notification->request_id == 99);
  const auto answer = open_message(received->answer, user);
  REQUIRE(answer);
  CHECK(answer->digest_right);
  CHECK(answer->flags == 3);
  CHECK(answer->id == 4711);
  CHECK(answer->engine_id == kOwn);
  CHECK(answer->pdu == ber::response);
  CHECK(answer->request_id == 99);
  CHECK(answer->errors[0] == 0);
  CHECK(answer->variables == inform.variables);
}

TEST_CASE("an inform out of our time is answered by an authentic report that tells it") {
  Desk desk;
  const auto& user = kSha256Aes.user;
  const auto now = desk.synchronise(user, 0, 0);
  for (const auto& [boots, time] : {std::pair(6U, now.time), std::pair(8U, now.time), std::pair(7U, now.time + 1000)}) {
    const auto report = desk.synchronise(user, boots, time);
    CHECK(report.pdu == ber::report);
    CHECK(report.flags == 1);
    CHECK(report.digest_right);
    CHECK(report.boots == 7);
    CHECK(report.names() == std::vector<Oid>{Oid{1, 3, 6, 1, 6, 3, 15, 1, 1, 2, 0}});  // usmStatsNotInTimeWindows.0
  }
}

TEST_CASE("an inform to another engine, and a trap in our name, are not taken") {
  Desk desk;
  const auto& user = kSha256Aes.user;
  const auto report = desk.synchronise(user, 0, 0);
  CHECK_FALSE(desk.take(alert(user, ber::inform_request, kPrinter, 3, 500), user, {kSha256Aes}));
  CHECK_FALSE(desk.take(alert(user, ber::trap_v2, kOwn, report.boots, report.time), user, {kSha256Aes}));
}

TEST_CASE("what cannot be answered by a report is not: no report on a report, none for who takes none") {
  Desk desk;
  UsmMessage question;
  question.pdu = ber::get_request;
  auto datagram = seal_message(question, {});
  CHECK_FALSE(desk.codec.decode(octets_of(datagram), {}, kNow));
  question.flags = 0;
  question.pdu = ber::report;
  datagram = seal_message(question, {});
  CHECK_FALSE(desk.codec.decode(octets_of(datagram), {}, kNow));
}

TEST_CASE("an SNMPv3 notification cut anywhere is refused") {
  Desk desk;
  const auto& user = kSha256Aes.user;
  const auto report = desk.synchronise(user, 0, 0);
  const std::vector users{kSha256Aes};
  for (const auto& whole : {seal_message(alert(user, ber::trap_v2, kPrinter, 3, 500), user),
                            seal_message(alert(user, ber::inform_request, kOwn, report.boots, report.time), user)}) {
    for (std::size_t length = 0; length < whole.size(); ++length) {
      auto cut = whole.substr(0, length);
      const auto received = desk.codec.decode(octets_of(cut), users, kNow);
      CHECK_FALSE((received && received->notification));
    }
  }
}

}  // namespace frisket::snmp
