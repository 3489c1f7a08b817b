#include "tests/simfleet/server.h"

#include <netinet/in.h>
#include <sys/socket.h>

#include <array>
#include <cerrno>
#include <cstring>

#include "tests/simfleet/message.h"

namespace frisket::simfleet {
namespace {

constexpr std::size_t kBatch = 64;
constexpr std::size_t kDatagram = 65536;
constexpr std::size_t kControl = CMSG_SPACE(sizeof(in_pktinfo));

bool is_loopback(std::uint32_t host_order) { return host_order >> 24 == 127; }

}  // namespace

// Buffers for one round of receiving and one of sending.
struct Server::Batch {
  std::vector<char> in = std::vector<char>(kBatch * kDatagram);
  std::array<sockaddr_in, kBatch> from{};
  std::array<iovec, kBatch> in_vectors{};
  std::array<mmsghdr, kBatch> in_headers{};
  alignas(cmsghdr) std::array<std::array<char, kControl>, kBatch> in_control{};

  std::array<Outgoing, kBatch> out;
  std::size_t out_count = 0;
  std::array<sockaddr_in, kBatch> to{};
  std::array<iovec, kBatch> out_vectors{};
  std::array<mmsghdr, kBatch> out_headers{};
  alignas(cmsghdr) std::array<std::array<char, kControl>, kBatch> out_control{};
};

Server::Server(boost::asio::io_context& context, Fleet& fleet, std::uint16_t port, std::uint64_t seed,
               std::function<SimTime()> now)
    : context_(context),
      socket_(context),
      fleet_(fleet),
      now_(std::move(now)),
      random_(seed),
      batch_(std::make_unique<Batch>()) {
  const boost::asio::ip::udp::endpoint any(boost::asio::ip::address_v4::any(), port);
  socket_.open(any.protocol());
  const auto require = [](int result, const char* what) {
    if (result < 0) throw boost::system::system_error(errno, boost::system::system_category(), what);
  };
  // Before bind, so that nothing from another interface is ever queued.
  require(setsockopt(socket_.native_handle(), SOL_SOCKET, SO_BINDTODEVICE, "lo", 3), "SO_BINDTODEVICE lo");
  const int on = 1;
  require(setsockopt(socket_.native_handle(), IPPROTO_IP, IP_PKTINFO, &on, sizeof on), "IP_PKTINFO");
  // As much as the kernel grants: a fleet gets its requests in bursts.
  boost::system::error_code ignored;
  socket_.set_option(boost::asio::socket_base::receive_buffer_size(8 << 20), ignored);
  socket_.set_option(boost::asio::socket_base::send_buffer_size(8 << 20), ignored);
  socket_.bind(any);
  socket_.non_blocking(true);
  wait();
}

Server::~Server() = default;

std::uint16_t Server::port() const { return socket_.local_endpoint().port(); }

void Server::stop() {
  boost::system::error_code ignored;
  socket_.close(ignored);
}

void Server::send(std::uint32_t from, const boost::asio::ip::udp::endpoint& to, std::string_view bytes) {
  queue(from, htonl(to.address().to_v4().to_uint()), htons(to.port()), bytes);
  flush();
}

void Server::wait() {
  socket_.async_wait(boost::asio::ip::udp::socket::wait_read, [this](const boost::system::error_code& error) {
    if (error) return;
    drain();
    wait();
  });
}

void Server::drain() {
  auto& b = *batch_;
  // A bounded number of rounds, so that timers and the control channel get their turn.
  for (int round = 0; round < 16; ++round) {
    for (std::size_t i = 0; i < kBatch; ++i) {
      b.in_vectors[i] = {b.in.data() + i * kDatagram, kDatagram};
      auto& header = b.in_headers[i].msg_hdr;
      header = {};
      header.msg_name = &b.from[i];
      header.msg_namelen = sizeof b.from[i];
      header.msg_iov = &b.in_vectors[i];
      header.msg_iovlen = 1;
      header.msg_control = b.in_control[i].data();
      header.msg_controllen = kControl;
    }
    const int count = recvmmsg(socket_.native_handle(), b.in_headers.data(), kBatch, MSG_DONTWAIT, nullptr);
    if (count <= 0) return;
    const SimTime now = now_();
    for (std::size_t i = 0; i < static_cast<std::size_t>(count); ++i) handle(i, now);
    flush();
    if (static_cast<std::size_t>(count) < kBatch) return;
  }
}

void Server::handle(std::size_t slot, SimTime now) {
  auto& b = *batch_;
  ++served_.received;
  std::uint32_t asked = 0;
  auto& header = b.in_headers[slot].msg_hdr;
  for (auto* control = CMSG_FIRSTHDR(&header); control != nullptr; control = CMSG_NXTHDR(&header, control)) {
    if (control->cmsg_level != IPPROTO_IP || control->cmsg_type != IP_PKTINFO) continue;
    in_pktinfo info{};
    std::memcpy(&info, CMSG_DATA(control), sizeof info);
    asked = ntohl(info.ipi_addr.s_addr);
  }
  if (!is_loopback(asked) || !is_loopback(ntohl(b.from[slot].sin_addr.s_addr))) return;
  const auto found = fleet_.by_address.find(asked);
  if (found == fleet_.by_address.end()) return;
  auto& device = *found->second;
  device.advance_to(now);
  const auto& manners = device.manners();
  const auto chance = [&] { return static_cast<double>(random_() >> 11) * 0x1.0p-53; };
  if (manners.off || (manners.loss > 0 && chance() < manners.loss)) return;
  ++device.requests;

  const std::string_view datagram(b.in.data() + slot * kDatagram, b.in_headers[slot].msg_len);
  Request request;
  if (parse(datagram, request) != Parsed::ok) {
    ++served_.malformed;
    return;
  }
  if (request.community != device.identity().community) {
    ++served_.wrong_community;
    return;
  }
  const auto& model = device.model();
  const Limits limits{model.message_limit, model.bulk_limit};
  const auto fault = manners.fault != Fault::none && chance() < manners.fault_share ? manners.fault : Fault::none;
  int copies = 1;
  if (fault == Fault::none) {
    if (!agent_.answer(request, device.view(now), limits, answer_)) {
      ++served_.malformed;
      return;
    }
  } else {
    copies = answer_badly(fault, request, device, limits, now);
    if (fault == Fault::elsewhere) ++asked;
  }
  if (manners.loss > 0 && chance() < manners.loss) return;
  for (; copies > 0; --copies) {
    if (manners.delay_ms > 0) {
      send_later({asked, b.from[slot].sin_addr.s_addr, b.from[slot].sin_port, answer_}, manners.delay_ms);
    } else {
      queue(asked, b.from[slot].sin_addr.s_addr, b.from[slot].sin_port, answer_);
    }
  }
}

// As the device's fault wants it; how many copies to send.
int Server::answer_badly(Fault fault, const Request& request, Device& device, const Limits& limits, SimTime now) {
  if (fault == Fault::half_silent && Liar::walks_on(request)) return 0;
  if (fault == Fault::restart && Liar::begins_alerts(request)) {
    Event event;
    event.verb = Verb::on;
    device.apply(event, now);
    event.verb = Verb::fault;
    event.text = "none";
    device.apply(event, now);
  }
  const auto view = device.view(now);
  if (!agent_.answer(liar_.understand(fault, request), view, limits, answer_)) {
    ++served_.malformed;
    return 0;
  }
  liar_.lie(fault, request, view, answer_);
  return misbehave(fault, answer_, random_);
}

void Server::queue(std::uint32_t from, std::uint32_t to, std::uint16_t port, std::string_view bytes) {
  auto& b = *batch_;
  if (b.out_count == kBatch) flush();
  auto& outgoing = b.out[b.out_count++];
  outgoing.from = from;
  outgoing.to = to;
  outgoing.port = port;
  outgoing.bytes.assign(bytes);  // keeps its capacity from round to round
}

void Server::flush() {
  auto& b = *batch_;
  for (std::size_t i = 0; i < b.out_count; ++i) {
    auto& outgoing = b.out[i];
    b.to[i] = {};
    b.to[i].sin_family = AF_INET;
    b.to[i].sin_addr.s_addr = outgoing.to;
    b.to[i].sin_port = outgoing.port;
    b.out_vectors[i] = {outgoing.bytes.data(), outgoing.bytes.size()};
    auto& header = b.out_headers[i].msg_hdr;
    header = {};
    header.msg_name = &b.to[i];
    header.msg_namelen = sizeof b.to[i];
    header.msg_iov = &b.out_vectors[i];
    header.msg_iovlen = 1;
    header.msg_control = b.out_control[i].data();
    header.msg_controllen = kControl;
    auto* control = CMSG_FIRSTHDR(&header);
    control->cmsg_level = IPPROTO_IP;
    control->cmsg_type = IP_PKTINFO;
    control->cmsg_len = CMSG_LEN(sizeof(in_pktinfo));
    in_pktinfo info{};
    info.ipi_spec_dst.s_addr = htonl(outgoing.from);
    std::memcpy(CMSG_DATA(control), &info, sizeof info);
  }
  std::size_t sent = 0;
  while (sent < b.out_count) {
    const int count = sendmmsg(socket_.native_handle(), b.out_headers.data() + sent,
                               static_cast<unsigned>(b.out_count - sent), MSG_DONTWAIT);
    if (count > 0) {
      sent += static_cast<std::size_t>(count);
      served_.answered += static_cast<std::uint64_t>(count);
      continue;
    }
    if (errno == EINTR) continue;
    // UDP may lose; an agent does not wait for a full buffer. The one that failed is skipped.
    ++served_.not_sent;
    ++sent;
  }
  b.out_count = 0;
}

void Server::send_later(Outgoing outgoing, std::int64_t delay_ms) {
  auto timer = std::make_shared<boost::asio::steady_timer>(context_, std::chrono::milliseconds(delay_ms));
  // The timer is shared with its own handler: it lives until it has fired or the context ends.
  timer->async_wait([this, timer, late = std::move(outgoing)](const boost::system::error_code& error) {
    if (error || !socket_.is_open()) return;
    queue(late.from, late.to, late.port, late.bytes);
    flush();
  });
}

}  // namespace frisket::simfleet
