#include "probes/snmp/usm_codec.h"

#include <catch2/catch.hpp>
#include <chrono>

#include "hex.h"
#include "probes/snmp/codec.h"
#include "usm_agent.h"

namespace frisket::snmp {
namespace {

using namespace testing;
using namespace std::chrono_literals;
using config::Authentication;
using config::Privacy;

const std::string kEngine = from_hex("80007ed9046865726261726975");
const model::SteadyTime kNow{1h};
const Oid kSysDescr{1, 3, 6, 1, 2, 1, 1, 1, 0};

config::User user_with(Authentication authentication, Privacy privacy) {
  config::User user;
  user.name = "frisket";
  user.authentication = authentication;
  user.authentication_password = "moss and fern";
  user.privacy = privacy;
  user.privacy_password = "liverwort";
  user.context = "";
  return user;
}

std::vector<config::User> every_user() {
  std::vector<config::User> users{user_with(Authentication::none, Privacy::none)};
  for (const auto authentication : {Authentication::md5, Authentication::sha, Authentication::sha_224,
                                    Authentication::sha_256, Authentication::sha_384, Authentication::sha_512}) {
    for (const auto privacy : {Privacy::none, Privacy::des, Privacy::aes_128, Privacy::aes_192, Privacy::aes_256}) {
      users.push_back(user_with(authentication, privacy));
    }
  }
  return users;
}

unsigned level_of(const config::User& user) {
  if (user.authentication == Authentication::none) return 0;
  return user.privacy == Privacy::none ? 1 : 3;
}

// An engine met at boots 7, time 1000.
struct Met {
  UsmCodec codec;
  config::User user;
  UsmPeer peer;

  explicit Met(config::User whom = user_with(Authentication::sha_256, Privacy::aes_128)) : user(std::move(whom)) {
    UsmAnswer answer;
    answer.engine_id = kEngine;
    answer.boots = 7;
    answer.time = 1000;
    peer.meet(codec.meet(user, answer, kNow));
  }

  std::string request(std::int32_t id, model::SteadyTime now = kNow) {
    auto message = codec.encode(Request{Operation::get, 0, {kSysDescr}}, user, *peer.engine(), id, now);
    REQUIRE(message);
    return *message;
  }

  UsmMessage response(std::int64_t id) const {
    UsmMessage message;
    message.id = message.request_id = id;
    message.flags = level_of(user);
    message.engine_id = message.context_engine_id = kEngine;
    message.boots = 7;
    message.time = 1001;
    message.user = user.name;
    message.pdu = simfleet::ber::response;
    message.variables = encode_variables({{kSysDescr, Octets{"Quillfern 40"}}});
    return message;
  }

  model::Result<UsmAnswer> decode(std::string datagram, model::SteadyTime now = kNow) {
    return codec.decode(octets_of(datagram), user, peer, now);
  }
  model::Result<UsmAnswer> decode(const UsmMessage& message) { return decode(seal_message(message, user)); }
};

const UsmReport* report_in(const model::Result<UsmAnswer>& answer) {
  return answer ? std::get_if<UsmReport>(&answer->content) : nullptr;
}

}  // namespace

// RFC 3414 appendix A.3.1 and A.3.2.
TEST_CASE("keys are localized as the standard's worked examples are") {
  UsmCodec codec;
  auto user = user_with(Authentication::md5, Privacy::none);
  user.authentication_password = "maplesyrup";
  UsmAnswer answer;
  answer.engine_id = from_hex("000000000000000000000002");
  CHECK(to_hex(codec.meet(user, answer, kNow).keys.authentication) == "526f5eed9fcce26f8964c2930787d82b");
  user.authentication = Authentication::sha;
  CHECK(to_hex(codec.meet(user, answer, kNow).keys.authentication) == "6695febc9288e36282235fc7151f128497b38f3f");
}

TEST_CASE("keys of every hash and cipher are as long as they must be, and those of another hand") {
  UsmCodec codec;
  UsmAnswer answer;
  answer.engine_id = kEngine;
  for (const auto& user : every_user()) {
    const auto keys = codec.meet(user, answer, kNow).keys;
    if (user.authentication == Authentication::none) {
      CHECK(keys.authentication.empty());
      continue;
    }
    CHECK(keys.authentication == key_for(user.authentication, user.authentication_password, kEngine));
    if (user.privacy == Privacy::none) continue;
    CHECK(keys.privacy == cipher_key(user.authentication, user.privacy, user.privacy_password, kEngine));
  }
}

TEST_CASE("discovery asks who is there, without saying who asks") {
  UsmCodec codec;
  const auto datagram = codec.encode_discovery(4711);
  REQUIRE(datagram);
  const auto message = open_message(*datagram, {});
  REQUIRE(message);
  CHECK(message->id == 4711);
  CHECK(message->request_id == 4711);
  CHECK(message->flags == 4);  // reportable, no more
  CHECK(message->engine_id.empty());
  CHECK(message->user.empty());
  CHECK(message->pdu == simfleet::ber::get_request);
  CHECK(message->variables.empty());
}

TEST_CASE("another hand reads the requests of every security level, and is read, for all 24 pairs of algorithms") {
  const auto users = every_user();
  CHECK(users.size() == 1 + 6 + 24);
  for (const auto& user : users) {
    Met met(user);
    CAPTURE(static_cast<int>(user.authentication), static_cast<int>(user.privacy));
    const auto asked = open_message(met.request(815, kNow + 30s), user);
    REQUIRE(asked);
    CHECK(asked->id == 815);
    CHECK(asked->request_id == 815);
    CHECK(asked->flags == (level_of(user) | 4U));
    CHECK(asked->digest_right == (level_of(user) > 0));
    CHECK(asked->engine_id == kEngine);
    CHECK(asked->context_engine_id == kEngine);
    CHECK(asked->user == "frisket");
    CHECK(asked->names() == std::vector<Oid>{kSysDescr});
    CHECK(asked->boots == 7);
    CHECK(asked->time >= 1030);  // the library's own second may end in between
    CHECK(asked->time <= 1031);

    const auto answer = met.decode(met.response(815));
    REQUIRE(answer);
    const auto* response = std::get_if<Response>(&answer->content);
    REQUIRE(response != nullptr);
    REQUIRE(response->variables.size() == 1);
    CHECK(response->variables[0].value == Value(Octets{"Quillfern 40"}));
    CHECK(met.peer.engine()->authentic == (level_of(user) > 0));
  }
}

TEST_CASE("a context is asked for, and an answer from another is nonsense") {
  Met met;
  met.user.context = "tray room";
  CHECK(open_message(met.request(1), met.user)->context == "tray room");
  auto response = met.response(1);
  CHECK_FALSE(met.decode(response));
  response.context = "tray room";
  CHECK(met.decode(response));
}

TEST_CASE("two messages never share a salt, and so never a key stream") {
  Met met;
  const auto first = met.request(1);
  const auto second = met.request(1);
  CHECK(first != second);
  CHECK(open_message(second, met.user)->names() == open_message(first, met.user)->names());
}

// RFC 3412 section 7.2.12, RFC 3414 section 3.2.
TEST_CASE("an answer at a weaker level, for another user, from another engine, or with a wrong digest is nonsense") {
  Met met;
  auto weaker = met.response(1);
  weaker.flags = 1;
  CHECK_FALSE(met.decode(weaker));
  weaker.flags = 0;
  CHECK_FALSE(met.decode(weaker));
  auto nobody = met.response(1);
  nobody.flags = 0;
  nobody.user.clear();
  CHECK_FALSE(met.decode(nobody));
  auto stranger = met.response(1);
  stranger.user = "somebody";
  CHECK_FALSE(met.decode(stranger));
  auto elsewhere = met.response(1);
  elsewhere.engine_id = kEngine + "x";
  CHECK_FALSE(met.decode(elsewhere));
  auto other_question = met.response(1);
  other_question.request_id = 2;
  CHECK_FALSE(met.decode(other_question));
  auto no_response = met.response(1);
  no_response.pdu = simfleet::ber::get_request;
  CHECK_FALSE(met.decode(no_response));
  auto digest = met.user;
  digest.authentication_password = "moss and feRn";
  CHECK_FALSE(met.decode(seal_message(met.response(1), digest)));
  auto privacy = met.user;
  privacy.privacy_password = "hornworts";
  CHECK_FALSE(met.decode(seal_message(met.response(1), privacy)));
  CHECK(met.decode(met.response(1)));
}

TEST_CASE("each report says what it is about") {
  Met met;
  const auto report = [&](Oid counter, unsigned flags = 0) {
    const auto answer = met.decode(report_of(met.response(1), kEngine, 7, 1001, std::move(counter), flags));
    const auto* found = report_in(answer);
    return found != nullptr ? *found : UsmReport::other;
  };
  CHECK(report(counter_of(UsmStat::unsupported_security_level)) == UsmReport::unsupported_security_level);
  CHECK(report(counter_of(UsmStat::not_in_time_window)) == UsmReport::not_in_time_window);
  CHECK(report(counter_of(UsmStat::not_in_time_window), 1) == UsmReport::not_in_time_window);
  CHECK(report(counter_of(UsmStat::unknown_user_name)) == UsmReport::unknown_user_name);
  CHECK(report(counter_of(UsmStat::unknown_engine_id)) == UsmReport::unknown_engine_id);
  CHECK(report(counter_of(UsmStat::wrong_digest)) == UsmReport::wrong_digest);
  CHECK(report(counter_of(UsmStat::decryption_error)) == UsmReport::decryption_error);
  CHECK(report(Oid{1, 3, 6, 1, 6, 3, 12, 1, 5, 0}) == UsmReport::unknown_context);
  CHECK(report(Oid{1, 3, 6, 1, 6, 3, 15, 1, 1}) == UsmReport::other);
  CHECK(report(kSysDescr) == UsmReport::other);
}

TEST_CASE("a report tells whose engine it is, also when that is another than known") {
  Met met;
  const auto other = kEngine + "-2";
  const auto answer = met.decode(report_of(met.response(1), other, 3, 44, counter_of(UsmStat::unknown_engine_id)));
  REQUIRE(report_in(answer) != nullptr);
  CHECK(answer->engine_id == other);
  CHECK(answer->boots == 3);
  CHECK(answer->time == 44);
  CHECK_FALSE(answer->authentic);
  CHECK_FALSE(met.decode(report_of(met.response(1), "", 3, 44, counter_of(UsmStat::unknown_engine_id))));
  CHECK_FALSE(
      met.decode(report_of(met.response(1), std::string(33, 'x'), 3, 44, counter_of(UsmStat::unknown_engine_id))));
}

// RFC 3414 section 3.2 step 7b.
TEST_CASE("only what has a right digest moves the engine's time, and only forward") {
  Met met;
  REQUIRE(met.decode(report_of(met.response(1), kEngine, 9, 5000, counter_of(UsmStat::not_in_time_window))));
  CHECK(met.peer.engine()->boots == 7);
  CHECK(met.peer.engine()->time == 1000);
  auto response = met.response(1);
  REQUIRE(met.decode(response));
  CHECK(met.peer.engine()->time == 1001);
  CHECK(met.peer.engine()->authentic);
  response.time = 900;  // within the window, but older
  REQUIRE(met.decode(response));
  CHECK(met.peer.engine()->time == 1001);
  response.time = 1001 - 151;
  REQUIRE(report_in(met.decode(response)) != nullptr);
  CHECK(*report_in(met.decode(response)) == UsmReport::outdated);
  response.boots = 6;
  response.time = 5000;
  REQUIRE(report_in(met.decode(response)) != nullptr);
  CHECK(*report_in(met.decode(response)) == UsmReport::outdated);
  CHECK(met.peer.engine()->boots == 7);
  response.boots = 8;
  response.time = 3;
  REQUIRE(met.decode(response));
  CHECK(met.peer.engine()->boots == 8);
  CHECK(met.peer.engine()->time == 3);
}

TEST_CASE("every beginning of an answer, and every octet changed, is no answer") {
  for (const auto& user :
       {user_with(Authentication::sha_256, Privacy::aes_128), user_with(Authentication::md5, Privacy::des)}) {
    Met met(user);
    const auto whole = seal_message(met.response(1), user);
    for (std::size_t length = 0; length < whole.size(); ++length) CHECK_FALSE(met.decode(whole.substr(0, length)));
    for (std::size_t place = 0; place < whole.size(); ++place) {
      auto spoilt = whole;
      spoilt[place] = static_cast<char>(spoilt[place] ^ 0x01);
      CHECK_FALSE(met.decode(spoilt));
    }
    CHECK(met.decode(whole));
  }
}

TEST_CASE("no message of one version is read with the codec of another") {
  Met met;
  Codec communities;
  config::Credential credential;
  credential.community = "garden";
  auto in_clear = communities.encode(Request{Operation::get, 0, {kSysDescr}}, credential, 1);
  REQUIRE(in_clear);
  CHECK_FALSE(met.decode(*in_clear));
  auto guarded = seal_message(met.response(1), met.user);
  CHECK_FALSE(communities.decode(octets_of(guarded), credential));
  credential.version = config::SnmpVersion::v3;
  CHECK_FALSE(communities.encode(Request{Operation::get, 0, {kSysDescr}}, credential, 1));
}

TEST_CASE("two codecs in one process do not get in each other's way") {
  Met one;
  Met two(user_with(Authentication::md5, Privacy::des));
  const auto first = one.response(1);
  const auto second = two.response(1);
  CHECK(one.decode(first));
  CHECK(two.decode(second));
  CHECK_FALSE(two.decode(seal_message(first, one.user)));
  CHECK(one.decode(first));
}

}  // namespace frisket::snmp
