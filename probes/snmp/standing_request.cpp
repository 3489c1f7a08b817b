#include "probes/snmp/standing_request.h"

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>
#include <utility>

#include "probes/snmp/answer_tail.h"
#include "probes/snmp/network_state.h"

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;

// A request whose id differs in every octet shows where the id is.
constexpr std::int32_t kOneId = 0x01020304;
constexpr std::int32_t kOtherId = 0x05060708;

// Leaves the table, whatever ended the wait.
struct Leave {
  Network::State& state;
  PendingRequest& pending;
  ~Leave() {
    pending.bell = nullptr;
    state.forget(pending);
  }
};

}  // namespace

StandingRequest::StandingRequest(Network& network, Endpoint peer, const config::Credential& credential,
                                 bool up_time_first)
    : network_(network),
      peer_(std::move(peer)),
      credential_(credential),
      up_time_first_(up_time_first),
      bell_(network.state().executor) {}

std::unique_ptr<StandingRequest> StandingRequest::make(Network& network, Endpoint peer,
                                                       const config::Credential& credential, const Request& request,
                                                       bool up_time_first, bool peer_is_fixed) {
  if (!speaks(credential.version)) return nullptr;
  auto& codec = network.state().codec;
  const auto one = codec.encode(request, credential, kOneId);
  const auto other = codec.encode(request, credential, kOtherId);
  if (!one || !other || one->size() != other->size()) return nullptr;
  const auto differ = std::ranges::mismatch(*one, *other).in1 - one->begin();
  if (static_cast<std::size_t>(differ) + 4 > one->size() || differ > 0xffff) return nullptr;
  std::unique_ptr<StandingRequest> result(new StandingRequest(network, std::move(peer), credential, up_time_first));
  result->message_ = network.state().standing_messages.of(*one, static_cast<std::uint16_t>(differ));
  result->peer_is_fixed_ = peer_is_fixed;
  return result;
}

std::optional<StandingRequest::Answer> StandingRequest::recognise(std::span<const unsigned char> datagram) const {
  if (!known_) return std::nullopt;
  const auto tail = answer_tail(datagram, up_time_first_);
  if (!tail || tail->rest.size() != tail_.size()) return std::nullopt;
  const auto* known = reinterpret_cast<const unsigned char*>(tail_.data());
  if (!std::equal(tail->rest.begin(), tail->rest.end(), known)) return std::nullopt;
  return Answer{true, tail->up_time, Response{}};
}

void StandingRequest::decoded(std::span<const unsigned char> datagram) {
  known_ = false;
  const auto tail = answer_tail(datagram, up_time_first_);
  if (tail)
    tail_.assign(reinterpret_cast<const char*>(tail->rest.data()), tail->rest.size());
  else
    tail_.clear();
}

void StandingRequest::remember() { known_ = !tail_.empty(); }

asio::awaitable<StandingRequest::Answer> StandingRequest::ask(Patience patience) {
  const auto state = network_.state().shared_from_this();
  PendingRequest pending(peer_, patience);
  const Leave leave{*state, pending};
  pending.credential = &credential_;
  pending.standing = this;
  pending.bell = &bell_;
  bell_.expires_at(asio::steady_timer::time_point::max());
  state->start(pending);
  while (!pending.outcome) {
    co_await bell_.async_wait(asio::as_tuple(asio::use_awaitable));
    const auto cancelled = (co_await asio::this_coro::cancellation_state).cancelled();
    if (cancelled != asio::cancellation_type::none) throw boost::system::system_error(asio::error::operation_aborted);
  }
  co_return Answer{pending.unchanged, pending.up_time, std::move(*pending.outcome)};
}

}  // namespace frisket::snmp
