#include "snmp_drivers.h"

#include <algorithm>
#include <string>
#include <vector>

#include "probes/snmp/answer_tail.h"
#include "probes/snmp/codec.h"
#include "probes/snmp/decode.h"
#include "probes/snmp/notification_codec.h"
#include "probes/snmp/peek.h"
#include "probes/snmp/plan.h"
#include "probes/snmp/table_walk.h"
#include "probes/snmp/usm_codec.h"
#include "snmp_promises.h"

namespace frisket::fuzz {
namespace {

using namespace snmp;

// One walk of the supplies table that is answered with the same message again and again.
void walk_with(const Response& response) {
  TableWalk walk(mib::table(mib::TableId::supplies), 1, Operation::get_bulk, {});
  int round_trips = 0;
  while (walk.next()) {
    promise(++round_trips <= 2000);
    walk.feed(response);
  }
  RawReading raw;
  raw[mib::TableId::supplies] = std::move(walk).take();
  promise(raw[mib::TableId::supplies].rows.size() <= 128);
  check_snapshot(decode(raw, nullptr));
}

void append_header(std::string& out, char tag, std::size_t length) {
  out += tag;
  out += '\x82';
  out += static_cast<char>(length >> 8U);
  out += static_cast<char>(length & 0xffU);
}

// The same answer to another request at another sysUpTime.
std::string answer_at(std::string_view rest, std::uint32_t ticks) {
  using namespace std::string_literals;
  std::string value;
  for (int shift = 24; shift >= 0; shift -= 8) value += static_cast<char>(ticks >> static_cast<unsigned>(shift));
  std::string list = "\x30\x11\x06\x08\x2b\x06\x01\x02\x01\x01\x03\x00\x43\x05\x00"s + value;
  list += rest;
  std::string pdu = "\x02\x04\x11\x22\x33\x44\x02\x01\x00\x02\x01\x00"s;
  append_header(pdu, '\x30', list.size());
  pdu += list;
  std::string message = "\x02\x01\x01\x04\x06garden"s;
  append_header(message, '\xa2', pdu.size());
  message += pdu;
  std::string datagram;
  append_header(datagram, '\x30', message.size());
  return datagram + message;
}

// What answer_tail() takes for the same answer, the codec has to read as the same answer.
void compare_with_codec(std::span<const unsigned char> datagram, const Response& response, Codec& codec,
                        const config::Credential& credential) {
  const auto tail = answer_tail(datagram, true);
  if (!tail || tail->rest.size() > 60000) return;
  promise(response.error_status == ErrorStatus::no_error && !response.variables.empty());
  promise(response.variables[0].name == Oid({1, 3, 6, 1, 2, 1, 1, 3, 0}));
  promise(response.variables[0].value == Value(TimeTicks{tail->up_time.value()}));
  const std::uint32_t ticks = 0x80000000U | tail->up_time.value();
  const auto later = answer_at({reinterpret_cast<const char*>(tail->rest.data()), tail->rest.size()}, ticks);
  std::vector<unsigned char> octets(later.begin(), later.end());
  const auto same = answer_tail(octets, true);
  promise(same && std::ranges::equal(same->rest, tail->rest) && same->up_time == ticks);
  const auto read = codec.decode(octets, credential);
  promise(read && read->variables.size() == response.variables.size());
  promise(read->variables[0].value == Value(TimeTicks{ticks}));
  promise(std::equal(read->variables.begin() + 1, read->variables.end(), response.variables.begin() + 1));
}

// A user and an engine, met once: keys cost milliseconds.
struct Met {
  UsmCodec codec;
  config::User user;
  UsmEngine engine;

  Met() {
    user.name = "frisket";
    user.authentication = config::Authentication::sha_256;
    user.authentication_password = "moss and fern";
    user.privacy = config::Privacy::aes_128;
    user.privacy_password = "liverwort";
    UsmAnswer found;
    found.engine_id = std::string("\x80\x00\x7e\xd9\x04herbarium", 14);
    found.boots = 7;
    found.time = 1000;
    engine = codec.meet(user, found, {});
  }
};

// As an answer to a user, and to one who neither proves who he is nor encrypts.
void drive_usm(std::vector<unsigned char> datagram) {
  static Met met;
  config::User open;
  open.name = "frisket";
  for (const auto* user : {&met.user, &open}) {
    auto copy = datagram;
    UsmPeer peer;
    peer.meet(met.engine);
    const auto answer = met.codec.decode(copy, *user, peer, {});
    if (!answer) continue;
    promise(!answer->engine_id.empty() && answer->engine_id.size() <= kLongestEngineId);
    promise(user == &met.user || !answer->authentic);
    if (const auto* response = std::get_if<Response>(&answer->content)) walk_with(*response);
  }
}

}  // namespace

void drive_datagram(std::span<const std::uint8_t> input) {
  std::vector<unsigned char> datagram(input.begin(), input.end());  // exactly as long: an overrun is seen
  const auto outline = peek(datagram);
  if (outline) promise(outline->community.size() + outline->usm.user.size() <= datagram.size());
  drive_usm(datagram);
  static Codec codec;  // keeps nothing but a buffer
  config::Credential credential;
  credential.community = "garden";
  for (const auto version : {config::SnmpVersion::v2c, config::SnmpVersion::v1}) {
    credential.version = version;
    const auto original = datagram;  // the codec may write to it
    const auto response = codec.decode(datagram, credential);
    if (!response) continue;
    if (credential.version == config::SnmpVersion::v2c) compare_with_codec(original, *response, codec, credential);
    for (const auto& variable : response->variables) {
      promise(variable.name.size() <= kMaxOidLength);
      const auto* octets = std::get_if<Octets>(&variable.value);
      promise(octets == nullptr || octets->value.size() <= datagram.size());
    }
    index_from(response->variables);
    walk_with(*response);
  }
}

void drive_notification(std::span<const std::uint8_t> input) {
  std::vector<unsigned char> datagram(input.begin(), input.end());
  NotificationCodec codec;
  const auto received = codec.decode(datagram);
  if (!received) return;
  const auto& notification = received->notification;
  promise(notification.name.size() <= kMaxOidLength);
  promise(received->answer.empty() == (notification.form != Notification::Form::inform));
  // Integers may be sent longer than need be, and are answered no longer than they have to.
  promise(received->answer.size() <= datagram.size() + 16);
  const auto line = describe(notification);
  promise(line.size() < 4096);
  for (const char c : line) promise(c >= 0x20 && c < 0x7f);
}

}  // namespace frisket::fuzz
