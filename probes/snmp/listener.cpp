#include "probes/snmp/listener.h"

#include <netinet/in.h>
#include <sys/socket.h>

#include <array>
#include <boost/asio/error.hpp>
#include <boost/asio/ip/v6_only.hpp>
#include <cerrno>
#include <cstring>
#include <optional>
#include <utility>

#include "probes/snmp/address.h"
#include "probes/snmp/notification_codec.h"
#include "probes/snmp/peek.h"

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;
using asio::ip::udp;
using model::Error;

// As in Network: datagrams for one system call, and calls for one wake-up.
constexpr std::size_t kBatch = 16;
constexpr int kBatchesPerTurn = 4;
constexpr std::size_t kDatagram = 65536;
// Printers tell of one event at once, and a power cut is an event of all of them.
constexpr int kReceiveBuffer = 1 << 20;
// in6_pktinfo is the larger of the two that are asked for.
constexpr std::size_t kControl = CMSG_SPACE(sizeof(in6_pktinfo)) + CMSG_SPACE(sizeof(in_pktinfo));

// A socket for both families names IPv4 senders by addresses that are mapped into IPv6.
asio::ip::address plain(const asio::ip::address& address) {
  if (!address.is_v6() || !address.to_v6().is_v4_mapped()) return address;
  return asio::ip::make_address_v4(asio::ip::v4_mapped, address.to_v6());
}

Error cannot_listen(const config::Listen& where, std::string what) {
  const bool v6 = where.address.find(':') != std::string::npos;
  const auto host = v6 ? "[" + where.address + "]" : where.address;
  return {Error::Kind::local, "listening for notifications on " + host + ":" + std::to_string(where.port), "",
          std::move(what)};
}

}  // namespace

struct Listener::State : std::enable_shared_from_this<Listener::State> {
  enum class Count : std::size_t {
    received,
    traps,
    informs,
    malformed,
    unknown_sender,
    refused,
    reports,
    not_answered
  };
  static constexpr std::array<const char*, 8> kNames{"received",       "traps",   "informs", "malformed",
                                                     "unknown_sender", "refused", "reports", "not_answered"};

  struct Slot {
    iovec part{};
    sockaddr_storage source{};
    alignas(cmsghdr) std::array<char, kControl> control{};
  };

  State(asio::any_io_executor on, Clock& with, Audience& to)
      : socket(std::move(on)),
        clock(with),
        audience(to),
        octets(std::make_unique_for_overwrite<unsigned char[]>(kBatch * kDatagram)) {}

  void count(Count what) { ++counts[static_cast<std::size_t>(what)]; }
  void await_readable();
  void drain();
  int receive();
  void on_datagram(std::size_t slot);
  model::Result<UsmNotificationCodec::Received> decode(std::span<unsigned char> datagram,
                                                       const asio::ip::address& from);
  void answer(std::size_t slot, std::string& message);

  udp::socket socket;
  Clock& clock;
  Audience& audience;
  NotificationCodec codec;
  std::optional<UsmNotificationCodec> usm;
  std::array<std::uint64_t, kNames.size()> counts{};
  std::uint64_t opening = 0;  // counts open() and close(): a wait that is older has nothing to say

  std::unique_ptr<unsigned char[]> octets;  // only the pages that datagrams really reach become resident
  std::array<Slot, kBatch> slots;
  std::array<mmsghdr, kBatch> headers{};
};

void Listener::State::await_readable() {
  auto readable = [self = shared_from_this(), of = opening](const boost::system::error_code& failed) {
    if (failed || self->opening != of) return;
    self->drain();
    if (self->opening == of) self->await_readable();
  };
  socket.async_wait(udp::socket::wait_read, std::move(readable));
}

// Takes what is there, up to one batch; the number of datagrams, or -1 with errno.
int Listener::State::receive() {
  for (std::size_t i = 0; i < kBatch; ++i) {
    auto& slot = slots[i];
    slot.part = {octets.get() + i * kDatagram, kDatagram};
    auto& header = headers[i].msg_hdr;
    header = {};
    header.msg_name = &slot.source;
    header.msg_namelen = sizeof slot.source;
    header.msg_iov = &slot.part;
    header.msg_iovlen = 1;
    header.msg_control = slot.control.data();
    header.msg_controllen = slot.control.size();
  }
  return ::recvmmsg(socket.native_handle(), headers.data(), kBatch, MSG_DONTWAIT, nullptr);
}

void Listener::State::drain() {
  const auto of = opening;
  for (int turn = 0; turn < kBatchesPerTurn; ++turn) {
    const int received = receive();
    if (received <= 0) return;  // a failure shows again at the next wait, or was none
    for (std::size_t i = 0; i < static_cast<std::size_t>(received); ++i) {
      on_datagram(i);
      if (opening != of) return;  // the audience has closed it
    }
    if (static_cast<std::size_t>(received) < kBatch) return;
  }
}

void Listener::State::on_datagram(std::size_t slot) {
  count(Count::received);
  const auto source = plain(endpoint_of(slots[slot].source, headers[slot].msg_hdr.msg_namelen).address());
  if (!audience.knows(source)) return count(Count::unknown_sender);
  auto received = decode({octets.get() + slot * kDatagram, headers[slot].msg_len}, source);
  if (!received) {
    const bool malformed = received.error().kind == Error::Kind::nonsense;
    return count(malformed ? Count::malformed : Count::refused);
  }
  const auto& notification = received->notification;
  if (notification && !audience.take(*notification, source)) return count(Count::refused);
  if (!notification) {
    count(Count::reports);
  } else {
    count(notification->form == Notification::Form::inform ? Count::informs : Count::traps);
  }
  if (!received->answer.empty()) answer(slot, received->answer);
}

model::Result<UsmNotificationCodec::Received> Listener::State::decode(std::span<unsigned char> datagram,
                                                                      const asio::ip::address& from) {
  const auto outline = peek(datagram);
  if (usm && outline && outline->version == 3) return usm->decode(datagram, audience.users(from), clock.steady_now());
  auto received = codec.decode(datagram);
  if (!received) return received.error();
  return UsmNotificationCodec::Received{std::move(received->notification), std::move(received->answer)};
}

// Leaves from the address that the inform was sent to: the control message that told which it was
// says it to the kernel as well (ip(7), ipv6(7)).
void Listener::State::answer(std::size_t slot, std::string& message) {
  auto& header = headers[slot].msg_hdr;
  iovec part{message.data(), message.size()};
  header.msg_iov = &part;
  for (auto* control = CMSG_FIRSTHDR(&header); control != nullptr; control = CMSG_NXTHDR(&header, control)) {
    if (control->cmsg_level != IPPROTO_IP || control->cmsg_type != IP_PKTINFO) continue;
    in_pktinfo info{};
    std::memcpy(&info, CMSG_DATA(control), sizeof info);
    info.ipi_ifindex = 0;  // the way back is the routing table's choice
    std::memcpy(CMSG_DATA(control), &info, sizeof info);
  }
  // One that cannot be sent is sent for again: the sender of an inform repeats it.
  if (::sendmsg(socket.native_handle(), &header, MSG_DONTWAIT) < 0) count(Count::not_answered);
}

Listener::Listener(asio::any_io_executor executor, Clock& clock, Audience& audience)
    : state_(std::make_shared<State>(std::move(executor), clock, audience)) {}

void Listener::speak_as(LocalEngine own) { state_->usm.emplace(std::move(own)); }

Listener::~Listener() { close(); }

void Listener::close() {
  ++state_->opening;
  boost::system::error_code ignored;
  state_->socket.close(ignored);
}

model::Result<udp::endpoint> Listener::open(const config::Listen& where) {
  close();
  boost::system::error_code failed;
  const auto address = asio::ip::make_address(where.address, failed);
  if (failed) return cannot_listen(where, failed.message());
  auto& socket = state_->socket;
  const int on = 1;
  const auto option = [&](int level, int name) {
    if (!failed && ::setsockopt(socket.native_handle(), level, name, &on, sizeof on) != 0)
      failed = {errno, boost::system::system_category()};
  };
  socket.open(address.is_v4() ? udp::v4() : udp::v6(), failed);
  if (address.is_v6()) {
    if (!failed) socket.set_option(asio::ip::v6_only(false), failed);
    option(IPPROTO_IPV6, IPV6_RECVPKTINFO);
  } else {
    option(IPPROTO_IP, IP_PKTINFO);
  }
  if (!failed) socket.bind({address, where.port}, failed);
  if (!failed) socket.non_blocking(true, failed);
  const auto bound = failed ? udp::endpoint{} : socket.local_endpoint(failed);
  if (failed) {
    close();
    return cannot_listen(where, failed.message());
  }
  boost::system::error_code ignored;
  socket.set_option(asio::socket_base::receive_buffer_size(kReceiveBuffer), ignored);
  state_->await_readable();
  return bound;
}

std::map<std::string, std::uint64_t> Listener::counters() const {
  std::map<std::string, std::uint64_t> named;
  for (std::size_t i = 0; i < State::kNames.size(); ++i) named.emplace(State::kNames[i], state_->counts[i]);
  return named;
}

}  // namespace frisket::snmp
