#include "baselines.h"

// net-snmp's headers want their configuration first.
#include <net-snmp/net-snmp-config.h>
// Kept apart from the rest by this comment: the order matters.
#include <net-snmp/net-snmp-includes.h>
#undef max_repetitions

#include <arpa/inet.h>
#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <span>
#include <stdexcept>
#include <unordered_map>
#include <vector>

namespace frisket::bench {
namespace {

constexpr std::size_t kBatch = 16;
constexpr std::size_t kDatagram = 2048;

sockaddr_in address_of(const Fleet& fleet, std::size_t device) {
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(fleet.port);
  address.sin_addr.s_addr = htonl(fleet.address(device));
  return address;
}

// Keeps a window of exchanges outstanding: make() gives the datagram for a device, take() gets the answer.
template <class Make, class Take>
Figures windowed(const Fleet& fleet, double seconds, Make make, Take take) {
  const int udp = ::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  if (udp < 0) throw std::runtime_error("no socket");
  const int size = 4 << 20;
  ::setsockopt(udp, SOL_SOCKET, SO_RCVBUF, &size, sizeof size);
  std::vector<unsigned char> in(kBatch * kDatagram);
  std::array<mmsghdr, kBatch> headers{};
  std::array<iovec, kBatch> parts{};
  std::array<sockaddr_in, kBatch> sources{};
  std::size_t outstanding = 0, device = 0;
  Figures figures;
  const Stopwatch watch;
  while (watch.seconds() < seconds) {
    for (; outstanding < kWindow; ++outstanding, device = (device + 1) % fleet.devices) {
      const auto to = address_of(fleet, device);
      const std::string_view packet = make(to);
      ::sendto(udp, packet.data(), packet.size(), 0, reinterpret_cast<const sockaddr*>(&to), sizeof to);
      figures.octets += packet.size();
    }
    pollfd waiting{udp, POLLIN, 0};
    if (::poll(&waiting, 1, 200) == 0) outstanding = 0;  // lost in a buffer: start the window again
    for (std::size_t i = 0; i < kBatch; ++i) {
      parts[i] = {in.data() + i * kDatagram, kDatagram};
      headers[i] = {};
      headers[i].msg_hdr.msg_name = &sources[i];
      headers[i].msg_hdr.msg_namelen = sizeof sources[i];
      headers[i].msg_hdr.msg_iov = &parts[i];
      headers[i].msg_hdr.msg_iovlen = 1;
    }
    const int got = ::recvmmsg(udp, headers.data(), kBatch, MSG_DONTWAIT, nullptr);
    for (std::size_t i = 0; got > 0 && i < static_cast<std::size_t>(got); ++i) {
      take(std::span(in.data() + i * kDatagram, headers[i].msg_len), sources[i]);
      figures.octets += headers[i].msg_len;
      ++figures.exchanges;
      outstanding -= std::min<std::size_t>(outstanding, 1);
    }
  }
  watch.read(figures);
  ::close(udp);
  return figures;
}

// The request id of a v2c message of ours: the community is short, so every length is one octet but the outer
// two, which are in the long form.
std::int32_t id_in(std::span<const unsigned char> message) {
  std::size_t at = 0;
  const auto skip_header = [&] {
    at += 1;
    const auto length = message[at++];
    std::size_t value = length;
    if (length >= 0x80) {
      value = 0;
      for (int i = length & 0x7f; i > 0; --i) value = value << 8U | message[at++];
    }
    return value;
  };
  skip_header();
  at += skip_header();
  at += skip_header();
  skip_header();
  std::int32_t id = 0;
  for (auto length = skip_header(); length > 0; --length) id = id << 8 | message[at++];
  return id;
}

}  // namespace

Figures raw_udp(const Fleet& fleet, const std::string& request, double seconds) {
  return windowed(
      fleet, seconds, [&](const sockaddr_in&) -> std::string_view { return request; },
      [](std::span<unsigned char>, const sockaddr_in&) {});
}

Figures bare_codec(const Fleet& fleet, const snmp::Request& request, double seconds) {
  netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_READ_CONFIGS, 1);
  netsnmp_session session{};
  snmp_sess_init(&session);
  session.version = SNMP_VERSION_2c;
  char community[] = "public";
  session.community = reinterpret_cast<u_char*>(community);
  session.community_len = sizeof community - 1;
  u_char* buffer = nullptr;
  std::size_t length = 0;
  std::int32_t next_id = 1 << 24;
  std::unordered_map<std::int32_t, sockaddr_in> table;
  std::vector<std::vector<oid>> names;
  for (const auto& name : request.names) names.emplace_back(name.view().begin(), name.view().end());

  const auto make = [&](const sockaddr_in& to) {
    netsnmp_pdu* pdu = snmp_pdu_create(SNMP_MSG_GET);
    pdu->version = SNMP_VERSION_2c;
    pdu->reqid = ++next_id;
    for (const auto& name : names) snmp_add_null_var(pdu, name.data(), name.size());
    std::size_t used = 0;
    if (snmp_build(&buffer, &length, &used, &session, pdu) < 0) throw std::runtime_error("cannot build");
    snmp_free_pdu(pdu);
    table.emplace(next_id, to);
    return std::string_view(reinterpret_cast<const char*>(buffer) + length - used, used);
  };
  std::uint64_t values = 0;
  const auto take = [&](std::span<unsigned char> answer, const sockaddr_in& from) {
    const auto found = table.find(id_in(answer));
    if (found == table.end() || found->second.sin_addr.s_addr != from.sin_addr.s_addr) return;
    table.erase(found);
    auto* pdu = static_cast<netsnmp_pdu*>(std::calloc(1, sizeof(netsnmp_pdu)));
    if (snmp_parse(nullptr, &session, pdu, answer.data(), answer.size()) == 0)
      for (auto* variable = pdu->variables; variable != nullptr; variable = variable->next_variable) ++values;
    snmp_free_pdu(pdu);
  };
  const auto figures = windowed(fleet, seconds, make, take);
  std::free(buffer);
  if (values < figures.exchanges) throw std::runtime_error("the baseline's answers could not be parsed");
  return figures;
}

Figures command_line_tool(const Fleet& fleet, const snmp::Request& request, double seconds) {
  std::vector<std::string> words = {"snmpget", "-v2c", "-cpublic", "-On", "-r0", ""};
  for (const auto& name : request.names) words.push_back(snmp::to_text(name));
  Figures figures;
  posix_spawn_file_actions_t files;
  ::posix_spawn_file_actions_init(&files);
  ::posix_spawn_file_actions_addopen(&files, 1, "/dev/null", O_WRONLY, 0);
  ::posix_spawn_file_actions_addopen(&files, 2, "/dev/null", O_WRONLY, 0);
  const auto before = cpu_seconds(RUSAGE_CHILDREN);
  const Stopwatch watch;
  for (std::size_t device = 0; watch.seconds() < seconds; device = (device + 1) % fleet.devices) {
    in_addr address{htonl(fleet.address(device))};
    words[5] = std::string("udp:") + ::inet_ntoa(address) + ":" + std::to_string(fleet.port);
    std::vector<char*> arguments;
    for (auto& word : words) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    char mibs[] = "MIBS=", path[] = "PATH=/usr/bin:/bin";
    char* environment[] = {mibs, path, nullptr};
    pid_t child = 0;
    if (::posix_spawnp(&child, "snmpget", &files, nullptr, arguments.data(), environment) != 0)
      throw std::runtime_error("cannot start snmpget (Debian package snmp)");
    int status = 0;
    ::waitpid(child, &status, 0);
    if (status != 0) throw std::runtime_error("snmpget failed");
    ++figures.exchanges;
  }
  const auto after = cpu_seconds(RUSAGE_CHILDREN);
  watch.read(figures);
  figures.cpu += after.sum() - before.sum();
  figures.system += after.system - before.system;
  ::posix_spawn_file_actions_destroy(&files);
  return figures;
}

}  // namespace frisket::bench
