#include "probes/snmp/network.h"

#include <sys/socket.h>

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/ip/v6_only.hpp>
#include <exception>
#include <random>
#include <utility>

#include "probes/snmp/address.h"
#include "probes/snmp/network_state.h"
#include "probes/snmp/peek.h"
#include "probes/snmp/standing_request.h"

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;
using asio::ip::udp;
using model::Error;

// Datagrams taken with one system call, and calls for one wake-up: a flood on the socket
// must not keep the rest of the daemon from its turn.
constexpr std::size_t kBatch = 16;
constexpr int kBatchesPerTurn = 4;
// The largest UDP payload: nothing an agent sends is ever cut by us.
constexpr std::size_t kDatagram = 65536;
// 256 answers of 1,400 octets are more than the kernel's default of 208 KB holds with its overhead
// (measured: answers lost).
constexpr int kReceiveBuffer = 4 << 20;

std::uint32_t random_start() { return std::random_device{}(); }

std::int32_t on_the_wire(config::SnmpVersion version) {
  switch (version) {
    case config::SnmpVersion::v1:
      return 0;
    case config::SnmpVersion::v2c:
      return 1;
    case config::SnmpVersion::v3:
      return 3;
  }
  return 1;
}

// Of some 40 KB each until they are decoded.
constexpr std::size_t kFullReadings = 128;

Error silent(std::string what) { return {Error::Kind::silent, "asking", "", std::move(what)}; }

}  // namespace

// Only the pages that datagrams really reach become resident.
struct Network::State::Buffers {
  Buffers() : octets(std::make_unique_for_overwrite<unsigned char[]>(kBatch * kDatagram)) {}

  // Takes what is there, up to one batch; the number of datagrams, or -1 with errno.
  int receive(int descriptor) {
    for (std::size_t i = 0; i < kBatch; ++i) {
      parts[i] = {octets.get() + i * kDatagram, kDatagram};
      messages[i] = {};
      messages[i].msg_hdr.msg_name = &sources[i];
      messages[i].msg_hdr.msg_namelen = sizeof(sources[i]);
      messages[i].msg_hdr.msg_iov = &parts[i];
      messages[i].msg_hdr.msg_iovlen = 1;
    }
    return ::recvmmsg(descriptor, messages.data(), kBatch, MSG_DONTWAIT, nullptr);
  }

  std::unique_ptr<unsigned char[]> octets;
  std::array<iovec, kBatch> parts{};
  std::array<sockaddr_storage, kBatch> sources{};
  std::array<mmsghdr, kBatch> messages{};
};

Network::State::State(asio::any_io_executor on, Clock& with, config::Polling how)
    : executor(std::move(on)),
      clock(with),
      polling(how),
      table(random_start()),
      full_readings(executor, kFullReadings),
      v4(executor),
      v6(executor),
      sleeper_(clock.make_sleeper(executor)),
      buffers_(std::make_shared<Buffers>()) {}

Network::State::Family* Network::State::family_of(const Endpoint& peer, std::string& error) {
  const bool is_v4 = peer.address().is_v4();
  auto& family = is_v4 ? v4 : v6;
  if (family.socket.is_open()) return &family;
  boost::system::error_code failed;
  auto& socket = family.socket;
  socket.open(is_v4 ? udp::v4() : udp::v6(), failed);
  if (!failed && !is_v4) socket.set_option(asio::ip::v6_only(true), failed);
  if (!failed) socket.bind(is_v4 ? Endpoint(udp::v4(), 0) : Endpoint(udp::v6(), 0), failed);
  if (!failed) socket.non_blocking(true, failed);
  if (failed) {
    error = failed.message();
    boost::system::error_code ignored;
    socket.close(ignored);
    return nullptr;
  }
  // As much as the system allows; less costs retransmissions, no more.
  boost::system::error_code ignored;
  socket.set_option(asio::socket_base::receive_buffer_size(kReceiveBuffer), ignored);
  await_readable(family);
  return &family;
}

void Network::State::await_readable(Family& family) {
  auto readable = [self = shared_from_this(), &family](const boost::system::error_code& failed) {
    if (failed || self->stopped) return;
    self->drain(family);
    if (!self->stopped) self->await_readable(family);
  };
  family.socket.async_wait(udp::socket::wait_read, std::move(readable));
}

void Network::State::drain(Family& family) {
  for (int turn = 0; turn < kBatchesPerTurn; ++turn) {
    const int received = buffers_->receive(family.socket.native_handle());
    if (received < 0) {
      if (errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR) count(Count::receive_failed);
      return;
    }
    for (std::size_t i = 0; i < static_cast<std::size_t>(received); ++i) {
      const auto& message = buffers_->messages[i];
      on_datagram({buffers_->octets.get() + i * kDatagram, message.msg_len},
                  endpoint_of(buffers_->sources[i], message.msg_hdr.msg_namelen));
    }
    if (static_cast<std::size_t>(received) < kBatch) return;
  }
}

// Anything that is not the answer is dropped and counted, and the request goes on waiting:
// one bad datagram must not cost a poll, and a forged one must not either.
void Network::State::on_datagram(std::span<unsigned char> datagram, const Endpoint& source) {
  count(Count::received);
  const auto outline = peek(datagram);
  if (!outline) {
    count(Count::dropped_malformed);
    table.mark_garbled(source);
    return;
  }
  const auto [match, entry] = table.find(outline->request_id, source);
  switch (match) {
    case RequestTable::Match::unknown_id:  // late, twice, or never asked
      return count(Count::dropped_unknown_id);
    case RequestTable::Match::wrong_source:
      return count(Count::dropped_wrong_source);
    case RequestTable::Match::found:
      break;
  }
  auto& pending = static_cast<PendingRequest&>(*entry);
  const auto drop = [&](Count why) {
    count(why);
    pending.mark_garbled();
  };
  if (outline->version != on_the_wire(pending.credential->version)) return drop(Count::dropped_wrong_version);
  if (outline->version == 3) return on_usm_message(pending, datagram);
  if (outline->pdu_tag != kResponseTag) return drop(Count::dropped_not_a_response);
  if (outline->community != pending.credential->community) return drop(Count::dropped_wrong_community);
  if (pending.standing != nullptr) {
    if (auto same = pending.standing->recognise(datagram)) {
      count(Count::answered);
      count(Count::recognised);
      pending.unchanged = true;
      pending.up_time = same->up_time;
      note_round_trip(pending, *same->response);
      return finish(pending, std::move(same->response));
    }
    pending.standing->decoded(datagram);  // before the codec, which may write to it
  }
  auto response = codec.decode(datagram, *pending.credential);
  if (!response) return drop(Count::dropped_malformed);
  count(Count::answered);
  note_round_trip(pending, *response);
  finish(pending, std::move(response));
}

// Whoever asked decides what a report means; what is neither it nor an answer is dropped as above.
void Network::State::on_usm_message(PendingRequest& pending, std::span<unsigned char> datagram) {
  auto answer = usm_codec.decode(datagram, pending.credential->user, *pending.usm, clock.steady_now());
  if (!answer) {
    count(Count::dropped_malformed);
    return pending.mark_garbled();
  }
  count(Count::answered);
  if (auto* response = std::get_if<Response>(&answer->content)) {
    note_round_trip(pending, *response);
    return finish(pending, std::move(*response));
  }
  pending.report = std::move(*answer);
  finish(pending, Error{Error::Kind::nonsense, "asking", "", "a report in place of an answer"});
}

model::Result<std::string> Network::State::encode(const PendingRequest& pending, const Request& request) {
  const auto& credential = *pending.credential;
  if (credential.version != config::SnmpVersion::v3) return codec.encode(request, credential, pending.id());
  if (pending.discovery) return usm_codec.encode_discovery(pending.id());
  return usm_codec.encode(request, credential.user, *pending.usm->engine(), pending.id(), clock.steady_now());
}

void Network::State::note_round_trip(const PendingRequest& pending, Response& response) const {
  if (pending.sent_once()) response.round_trip = clock.steady_now() - pending.sent_at();
}

void Network::State::start(PendingRequest& pending, const Request& request) {
  if (stopped) return finish(pending, silent("the network is stopped"));
  table.assign_id(pending);
  auto message = encode(pending, request);
  if (!message) return finish(pending, message.error());
  pending.message = std::move(*message);
  in_line.wait(&pending, subnet_of(pending.peer));
  admit();
}

void Network::State::start(PendingRequest& pending) {
  if (stopped) return finish(pending, silent("the network is stopped"));
  table.assign_id(pending);
  in_line.wait(&pending, subnet_of(pending.peer));
  admit();
}

// Lets requests out of the line while there is room.
void Network::State::admit() {
  const Admission::Limits limits{static_cast<std::size_t>(std::max(polling.in_flight, 1)),
                                 static_cast<std::size_t>(std::max(polling.in_flight_per_subnet, 1))};
  while (!stopped) {
    auto* pending = static_cast<PendingRequest*>(in_line.admit(limits));
    if (pending == nullptr) break;
    pending->admitted = true;
    table.add(*pending, clock.steady_now());
    send(*pending);
  }
  keep_deadlines();
}

void Network::State::send(PendingRequest& pending) {
  count(Count::sent);
  auto* family = family_of(pending.peer, pending.send_error);
  if (family == nullptr) return count(Count::send_failed);
  boost::system::error_code failed;
  const std::string_view message =
      pending.standing != nullptr ? pending.standing->message(pending.id()) : pending.message;
  family->socket.send_to(asio::buffer(message), pending.peer, 0, failed);
  if (!failed) return pending.send_error.clear();
  // Not the end: the network may be back by the next attempt.
  count(Count::send_failed);
  pending.send_error = failed.message();
}

void Network::State::finish(PendingRequest& pending, model::Result<Response> outcome) {
  leave(pending);
  pending.outcome = std::move(outcome);
  if (pending.bell != nullptr) pending.bell->cancel();
  admit();
}

void Network::State::give_up(PendingRequest& pending) {
  count(Count::timed_out);
  const auto attempts = std::to_string(pending.patience.attempts);
  if (pending.garbled()) {
    return finish(pending, Error{Error::Kind::nonsense, "asking", "", "no valid answer in " + attempts + " attempts"});
  }
  if (!pending.send_error.empty()) return finish(pending, silent("cannot send: " + pending.send_error));
  finish(pending, silent("no answer in " + attempts + " attempts"));
}

// Makes room for another.
void Network::State::leave(PendingRequest& pending) {
  if (!std::exchange(pending.admitted, false)) return;
  table.remove(pending);
  in_line.leave(subnet_of(pending.peer));
}

void Network::State::forget(PendingRequest& pending) {
  if (pending.outcome) return;
  if (pending.admitted)
    leave(pending);
  else
    in_line.give_up(&pending, subnet_of(pending.peer));
  admit();
}

void Network::State::keep_deadlines() {
  const auto due = table.next_due();
  if (!due || stopped) return;
  if (!watching_) {
    watching_ = true;
    awaited_ = *due;
    auto ended = [self = shared_from_this()](const std::exception_ptr& what) {
      self->watching_ = false;
      if (what && !self->stopped) std::rethrow_exception(what);  // a bug: nothing in there may throw
    };
    asio::co_spawn(executor, watch_deadlines(shared_from_this()), std::move(ended));
  } else if (!awaited_ || *due < *awaited_) {
    awaited_ = *due;
    sleeper_->wake();
  }
}

// Timeouts are nearly all alike, so deadlines come in order and the sleep that is under way is
// nearly always the right one: one timer operation per timeout, whatever the rate.
asio::awaitable<void> Network::State::watch_deadlines(std::shared_ptr<State> self) {
  while (!self->stopped) {
    const auto due = self->table.next_due();
    self->awaited_ = due;
    co_await self->sleeper_->until(due.value_or(model::SteadyTime::max()));
    while (!self->stopped) {
      const auto next = self->table.take_due(self->clock.steady_now());
      if (!next) break;
      auto& pending = static_cast<PendingRequest&>(*next->entry);
      if (!next->again) {
        self->give_up(pending);
        continue;
      }
      self->count(Count::retransmitted);
      self->send(pending);
    }
  }
}

void Network::State::stop() {
  if (std::exchange(stopped, true)) return;
  while (auto* pending = static_cast<PendingRequest*>(in_line.take_any()))
    finish(*pending, silent("the network is stopped"));
  while (auto* entry = table.any()) finish(static_cast<PendingRequest&>(*entry), silent("the network is stopped"));
  boost::system::error_code ignored;
  v4.socket.close(ignored);
  v6.socket.close(ignored);
  sleeper_->wake();
}

Network::Network(asio::any_io_executor executor, Clock& clock, config::Polling polling)
    : state_(std::make_shared<State>(std::move(executor), clock, polling)) {}

Network::~Network() { stop(); }

Gate& Network::full_readings() { return state_->full_readings; }

void Network::configure(config::Polling polling) { state_->polling = polling; }

const config::Polling& Network::polling() const { return state_->polling; }

std::map<std::string, std::uint64_t> Network::counters() const {
  std::map<std::string, std::uint64_t> named;
  for (std::size_t i = 0; i < kCountNames.size(); ++i) named.emplace(kCountNames[i], state_->counts[i]);
  return named;
}

std::uint16_t Network::local_port() const {
  boost::system::error_code failed;
  const auto local = state_->v4.socket.local_endpoint(failed);
  return failed ? std::uint16_t{0} : local.port();
}

void Network::stop() { state_->stop(); }

}  // namespace frisket::snmp
