// Whether a message of SNMPv3 costs the same however many devices there are.
//
// Encodes a GET of 30 variables and decodes its answer, SHA-256 and AES-128, for 1 and for 10,000 engines in
// turn. Baseline, in the same run: the bare calls of the library with one user that is never moved.
// Prints microseconds of CPU for each and the ratios. Reported, not judged: a ratio near 1 is what is claimed.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "probes/snmp/usm_codec.h"
#include "probes/snmp/usm_slot.h"

namespace frisket::snmp {
namespace {

constexpr int kExchanges = 20000;
constexpr int kRounds = 5;  // the median counts
const model::SteadyTime kNow{};

config::User reader() {
  config::User user;
  user.name = "frisket";
  user.authentication = config::Authentication::sha_256;
  user.authentication_password = "moss and fern";
  user.privacy = config::Privacy::aes_128;
  user.privacy_password = "liverwort";
  return user;
}

Request request() {
  Request request;
  for (std::uint32_t i = 1; i <= 30; ++i) request.names.push_back(Oid{1, 3, 6, 1, 2, 1, 43, 11, 1, 1, 9, 1, i});
  return request;
}

UsmIdentity identity(const config::User& user, const UsmEngine& engine) {
  return {&engine.id, &user.name, user.authentication, user.privacy, &engine.keys, engine.boots, engine.time, true};
}

std::string build(netsnmp_session& session, int command) {
  const Pdu pdu(request_pdu(request()));
  pdu->command = command;
  pdu->version = SNMP_VERSION_3;
  pdu->reqid = pdu->msgid = 1;
  u_char* buffer = nullptr;
  std::size_t length = 0;
  std::size_t used = 0;
  if (snmp_build(&buffer, &length, &used, &session, pdu.get()) < 0) std::abort();
  std::string message(reinterpret_cast<char*>(buffer) + length - used, used);
  std::free(buffer);
  return message;
}

struct Device {
  UsmPeer peer;
  std::string answer;
};

std::vector<Device> devices(UsmCodec& codec, const config::User& user, int count) {
  std::vector<Device> made(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    UsmAnswer found;
    found.engine_id = "\x80\x01\x7e\xd9\x04" + std::to_string(100000 + i);
    found.boots = 1;
    found.time = 100;
    auto& device = made[static_cast<std::size_t>(i)];
    device.peer.meet(codec.meet(user, found, kNow));
    UsmSlot slot(identity(user, *device.peer.engine()));
    device.answer = build(slot.session(), SNMP_MSG_RESPONSE);
  }
  return made;
}

double seconds() {
  timespec now{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec) / 1e9;
}

template <class Work>
double microseconds_each(Work work) {
  std::vector<double> rounds;
  for (int round = 0; round < kRounds; ++round) {
    const double before = seconds();
    for (int i = 0; i < kExchanges; ++i) work(static_cast<std::size_t>(i));
    rounds.push_back((seconds() - before) * 1e6 / kExchanges);
  }
  std::ranges::sort(rounds);
  return rounds[kRounds / 2];
}

double ours(UsmCodec& codec, const config::User& user, std::vector<Device>& fleet) {
  const auto asked = request();
  std::string datagram;
  return microseconds_each([&](std::size_t i) {
    auto& device = fleet[i % fleet.size()];
    if (!codec.encode(asked, user, *device.peer.engine(), 1, kNow)) std::abort();
    datagram = device.answer;
    const std::span octets(reinterpret_cast<unsigned char*>(datagram.data()), datagram.size());
    const auto answer = codec.decode(octets, user, device.peer, kNow);
    if (!answer || !std::holds_alternative<Response>(answer->content)) std::abort();
  });
}

double bare(const config::User& user, const Device& device) {
  UsmSlot slot(identity(user, *device.peer.engine()));
  const auto asked = request();
  u_char* buffer = nullptr;
  std::size_t length = 0;
  std::string datagram;
  const double each = microseconds_each([&](std::size_t) {
    const Pdu out(request_pdu(asked));
    out->version = SNMP_VERSION_3;
    out->reqid = out->msgid = 1;
    std::size_t used = 0;
    if (snmp_build(&buffer, &length, &used, &slot.session(), out.get()) < 0) std::abort();
    datagram = device.answer;
    const Pdu in(static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu))));
    auto* octets = reinterpret_cast<u_char*>(datagram.data());
    if (snmp_parse(nullptr, &slot.session(), in.get(), octets, datagram.size()) != 0) std::abort();
  });
  std::free(buffer);
  return each;
}

}  // namespace
}  // namespace frisket::snmp

int main() {
  using namespace frisket::snmp;
  UsmCodec codec;
  const auto user = reader();
  auto one = devices(codec, user, 1);
  auto many = devices(codec, user, 10000);
  const double library = bare(user, one[0]);
  const double at_one = ours(codec, user, one);
  const double at_many = ours(codec, user, many);
  std::printf("encode and decode, SHA-256 and AES-128, 30 variables, microseconds of CPU\n");
  std::printf("library alone, one user that stays   %7.1f\n", library);
  std::printf("codec, 1 engine                      %7.1f   %.2f of the library alone\n", at_one, at_one / library);
  std::printf("codec, 10,000 engines in turn        %7.1f   %.2f of 1 engine\n", at_many, at_many / at_one);
}
