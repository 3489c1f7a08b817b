#include "probes/snmp/address.h"

#include <boost/asio/ip/address.hpp>
#include <boost/asio/this_coro.hpp>
#include <cstring>
#include <memory>
#include <utility>
#include <vector>

namespace frisket::snmp {

namespace asio = boost::asio;
using asio::ip::udp;
using model::Error;

struct Address::State {
  std::string host;
  std::uint16_t port = 0;
  bool literal = false;
  std::vector<Endpoint> known;
  std::size_t turn = 0;  // which of the known is asked
  bool doubted = false;
  bool looking_up = false;
  std::string failure;
  std::unique_ptr<udp::resolver> resolver;
  Sleeper* waiting = nullptr;

  // The resolver asks on a thread of its own; the answer comes back on the executor's.
  static void look_up(const std::shared_ptr<State>& state, const asio::any_io_executor& executor) {
    state->looking_up = true;
    state->doubted = false;
    state->resolver = std::make_unique<udp::resolver>(executor);
    auto ended = [state](const boost::system::error_code& failed, const udp::resolver::results_type& results) {
      state->looking_up = false;
      state->failure = failed ? failed.message() : std::string{};
      if (!failed && !results.empty()) {
        state->known.clear();
        for (const auto& result : results) state->known.push_back(result.endpoint());
      }
      if (state->waiting != nullptr) state->waiting->wake();
    };
    state->resolver->async_resolve(state->host, std::to_string(state->port), udp::resolver::numeric_service,
                                   std::move(ended));
  }
};

Endpoint endpoint_of(const sockaddr_storage& address, std::size_t length) {
  Endpoint endpoint;
  if (length > endpoint.capacity()) return endpoint;
  std::memcpy(endpoint.data(), &address, length);
  endpoint.resize(length);
  return endpoint;
}

Address::Address(std::string host, std::uint16_t port) : state_(std::make_shared<State>()) {
  boost::system::error_code no_literal;
  const auto address = asio::ip::make_address(host, no_literal);
  state_->host = std::move(host);
  state_->port = port;
  if (no_literal) return;
  state_->literal = true;
  state_->known.emplace_back(address, port);
}

Address::~Address() {
  if (state_->resolver) state_->resolver->cancel();
  state_->waiting = nullptr;
}

asio::awaitable<model::Result<Endpoint>> Address::endpoint(Clock& clock, model::SteadyTime due) {
  const auto state = state_;
  const auto executor = co_await asio::this_coro::executor;
  const bool wanted = !state->literal && (state->known.empty() || state->doubted);
  if (wanted && !state->looking_up) State::look_up(state, executor);
  if (state->known.empty() && state->looking_up) {
    const auto sleeper = clock.make_sleeper(executor);
    state->waiting = sleeper.get();
    struct Leave {  // also when the wait is cancelled
      State& state;
      ~Leave() { state.waiting = nullptr; }
    } leave{*state};
    while (state->looking_up) {
      const auto woke = co_await sleeper->until(due);
      if (woke == Sleeper::Woke::due) break;
    }
  }
  if (state->known.empty()) {
    const std::string why = state->failure.empty() ? "no answer from the name service yet" : state->failure;
    co_return Error{Error::Kind::silent, "looking up", state->host, state->host + ": " + why};
  }
  co_return state->known[state->turn % state->known.size()];
}

bool Address::is_literal() const { return state_->literal; }

const Endpoint* Address::known() const {
  const auto& state = *state_;
  if (state.known.empty() || (state.doubted && !state.literal)) return nullptr;
  return &state.known[state.turn % state.known.size()];
}

void Address::doubt() {
  state_->doubted = true;
  ++state_->turn;
}

}  // namespace frisket::snmp
