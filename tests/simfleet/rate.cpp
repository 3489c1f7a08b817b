// How fast simfleet answers: simfleet_rate SIMFLEET [DEVICES] [SECONDS].
//
// Starts it, keeps a window of GETs of 30 variables outstanding against all its devices, and
// prints the rate and the fleet's CPU time per answer. The latter is what counts where the
// cores are shared.
#include <arpa/inet.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/simfleet/ber.h"
#include "tests/simfleet/process.h"

namespace {

using frisket::simfleet::FleetProcess;
namespace ber = frisket::simfleet::ber;

constexpr std::size_t kWindow = 256;
constexpr std::size_t kBatch = 64;

// The poll of a printer's status, counters and levels: 30 variables.
std::string request() {
  const char* names[] = {"1.3.6.1.2.1.1.3.0",           "1.3.6.1.2.1.25.3.2.1.5.1",
                         "1.3.6.1.2.1.25.3.5.1.1.1",    "1.3.6.1.2.1.25.3.5.1.2.1",
                         "1.3.6.1.2.1.43.5.1.1.1.1",    "1.3.6.1.2.1.43.5.1.1.18.1",
                         "1.3.6.1.2.1.43.5.1.1.19.1",   "1.3.6.1.2.1.43.10.2.1.4.1.1",
                         "1.3.6.1.2.1.43.10.2.1.5.1.1", "1.3.6.1.2.1.43.10.2.1.15.1.1",
                         "1.3.6.1.2.1.43.11.1.1.8.1.1", "1.3.6.1.2.1.43.11.1.1.8.1.2",
                         "1.3.6.1.2.1.43.11.1.1.9.1.1", "1.3.6.1.2.1.43.11.1.1.9.1.2",
                         "1.3.6.1.2.1.43.6.1.1.3.1.1",  "1.3.6.1.2.1.43.6.1.1.3.1.2",
                         "1.3.6.1.2.1.43.8.2.1.9.1.1",  "1.3.6.1.2.1.43.8.2.1.9.1.2",
                         "1.3.6.1.2.1.43.8.2.1.10.1.1", "1.3.6.1.2.1.43.8.2.1.10.1.2",
                         "1.3.6.1.2.1.43.8.2.1.11.1.1", "1.3.6.1.2.1.43.8.2.1.11.1.2",
                         "1.3.6.1.2.1.43.8.2.1.12.1.1", "1.3.6.1.2.1.43.9.2.1.5.1.1",
                         "1.3.6.1.2.1.43.9.2.1.6.1.1",  "1.3.6.1.2.1.43.13.4.1.11.1.1",
                         "1.3.6.1.2.1.43.14.1.1.8.1.1", "1.3.6.1.2.1.43.16.5.1.2.1.1",
                         "1.3.6.1.2.1.43.16.5.1.2.1.2", "1.3.6.1.2.1.43.17.6.1.2.1.1"};
  std::string list;
  for (const char* name : names) {
    std::string binding;
    ber::append_oid(binding, ber::parse_oid(name).value());
    ber::append_empty(binding, ber::null);
    ber::append_octets(list, binding, ber::sequence);
  }
  std::string pdu;
  ber::append_integer(pdu, 0x01020304);
  ber::append_integer(pdu, 0);
  ber::append_integer(pdu, 0);
  ber::append_octets(pdu, list, ber::sequence);
  std::string body;
  ber::append_integer(body, 1);
  ber::append_octets(body, "public");
  ber::append_octets(body, pdu, ber::get_request);
  std::string message;
  ber::append_octets(message, body, ber::sequence);
  return message;
}

struct Count {
  std::uint64_t answers = 0;
  std::uint64_t octets = 0;
  double seconds = 0;
};

Count flood(const FleetProcess& fleet, double seconds) {
  const int udp = socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  const int size = 4 << 20;
  setsockopt(udp, SOL_SOCKET, SO_RCVBUF, &size, sizeof size);
  const std::string packet = request();
  std::vector<char> in(kBatch * 2048);
  std::array<mmsghdr, kBatch> headers{};
  std::array<iovec, kBatch> vectors{};
  std::array<sockaddr_in, kBatch> to{};
  Count count;
  std::size_t outstanding = 0, device = 0;
  using Clock = std::chrono::steady_clock;
  const auto start = Clock::now();
  auto now = start;
  while (now - start < std::chrono::duration<double>(seconds)) {
    while (outstanding + kBatch <= kWindow) {
      for (std::size_t i = 0; i < kBatch; ++i, device = (device + 1) % fleet.devices()) {
        const auto offset = device + 2 * (device / 254);  // as the fleet does: .0 and .255 left out
        to[i] = {};
        to[i].sin_family = AF_INET;
        to[i].sin_port = htons(fleet.port());
        to[i].sin_addr.s_addr = htonl(0x7F100001U + static_cast<std::uint32_t>(offset));
        vectors[i] = {const_cast<char*>(packet.data()), packet.size()};
        headers[i] = {};
        headers[i].msg_hdr.msg_name = &to[i];
        headers[i].msg_hdr.msg_namelen = sizeof to[i];
        headers[i].msg_hdr.msg_iov = &vectors[i];
        headers[i].msg_hdr.msg_iovlen = 1;
      }
      const int sent = sendmmsg(udp, headers.data(), kBatch, 0);
      if (sent <= 0) throw std::runtime_error("cannot send");
      outstanding += static_cast<std::size_t>(sent);
    }
    pollfd waiting{udp, POLLIN, 0};
    if (poll(&waiting, 1, 200) == 0) outstanding = 0;  // lost in a buffer: start the window again
    for (std::size_t i = 0; i < kBatch; ++i) {
      vectors[i] = {in.data() + i * 2048, 2048};
      headers[i] = {};
      headers[i].msg_hdr.msg_iov = &vectors[i];
      headers[i].msg_hdr.msg_iovlen = 1;
    }
    const int got = recvmmsg(udp, headers.data(), kBatch, MSG_DONTWAIT, nullptr);
    for (int i = 0; i < got; ++i) count.octets += headers[static_cast<std::size_t>(i)].msg_len;
    if (got > 0) {
      count.answers += static_cast<std::uint64_t>(got);
      outstanding -= std::min(outstanding, static_cast<std::size_t>(got));
    }
    now = Clock::now();
  }
  count.seconds = std::chrono::duration<double>(now - start).count();
  close(udp);
  return count;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: simfleet_rate SIMFLEET [DEVICES] [SECONDS]\n");
    return 2;
  }
  const std::string devices = argc > 2 ? argv[2] : "1000";
  const double seconds = argc > 3 ? std::atof(argv[3]) : 3.0;
  try {
    FleetProcess fleet(argv[1], {"--port", "0", "--count", devices});
    flood(fleet, 0.5);
    const double before = fleet.cpu_seconds();
    const auto count = flood(fleet, seconds);
    const double cpu = fleet.cpu_seconds() - before;
    const auto answers = static_cast<double>(count.answers);
    std::printf(
        "%zu devices, GET of 30 variables: %.0f answers/s, %.2f us of the fleet's CPU each, so %.0f/s on one core; "
        "%.0f octets each, %.1f MB resident\n",
        fleet.devices(), answers / count.seconds, cpu / answers * 1e6, answers / cpu,
        static_cast<double>(count.octets) / answers, static_cast<double>(fleet.resident()) / 1e6);
    return count.answers > 0 ? 0 : 1;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "simfleet_rate: %s\n", error.what());
    return 1;
  }
}
