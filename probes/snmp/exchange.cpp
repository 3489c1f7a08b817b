#include "probes/snmp/exchange.h"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>
#include <deque>
#include <memory>
#include <utility>

#include "probes/snmp/network_state.h"

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;
using model::Error;

// The requests of one question, one for each credential. Whatever ends the wait (an answer,
// cancellation, the frame's destruction), they leave the table before they die.
class Question {
 public:
  Question(std::shared_ptr<Network::State> state, asio::steady_timer& bell) : state_(std::move(state)), bell_(bell) {}
  ~Question() {
    for (auto& pending : pending_) {
      pending.bell = nullptr;
      state_->forget(pending);
    }
  }
  Question(const Question&) = delete;
  Question& operator=(const Question&) = delete;

  void ask(const Endpoint& peer, const config::Credential& credential, const Request& request, Patience patience) {
    auto& pending = pending_.emplace_back(peer, patience);
    pending.credential = &credential;
    pending.bell = &bell_;
    state_->start(pending, request);
  }

  // An answer that counts, or, once all have ended, the best of what there is.
  std::optional<FirstAnswer> answer() {
    bool all_ended = true;
    std::size_t best = 0;
    int best_rank = -1;
    for (std::size_t i = 0; i < pending_.size(); ++i) {
      auto& outcome = pending_[i].outcome;
      if (!outcome) {
        all_ended = false;
        continue;
      }
      const int rank = rank_of(*outcome);
      if (rank == kAnswered) return FirstAnswer{std::move(*outcome), i};
      if (rank > best_rank) {
        best = i;
        best_rank = rank;
      }
    }
    if (!all_ended) return std::nullopt;
    return FirstAnswer{std::move(*pending_[best].outcome), best};
  }

 private:
  static constexpr int kAnswered = 4;

  // What tells most about the device wins.
  static int rank_of(const model::Result<Response>& outcome) {
    if (outcome) return outcome->refused() ? 3 : kAnswered;
    switch (outcome.error().kind) {
      case Error::Kind::refused:
        return 3;
      case Error::Kind::nonsense:
        return 2;
      case Error::Kind::silent:
        return 1;
      case Error::Kind::local:
      case Error::Kind::invalid:
        return 0;
    }
    return 0;
  }

  std::shared_ptr<Network::State> state_;
  asio::steady_timer& bell_;
  std::deque<PendingRequest> pending_;  // never moved: the table points at them
};

}  // namespace

asio::awaitable<FirstAnswer> exchange_first(Network& network, Endpoint peer,
                                            std::vector<config::Credential> credentials, Request request,
                                            std::optional<Patience> patience) {
  if (credentials.empty()) {
    co_return FirstAnswer{Error{Error::Kind::invalid, "asking", "", "no credential to ask with"}, 0};
  }
  const auto state = network.state().shared_from_this();
  const Patience how = patience.value_or(Patience{state->polling.timeout, state->polling.attempts});
  // Not a deadline (those are the network's, in the clock's time): only a place to wait
  // that can be cancelled.
  asio::steady_timer bell(state->executor, asio::steady_timer::time_point::max());
  Question question(state, bell);
  for (const auto& credential : credentials) question.ask(peer, credential, request, how);
  while (true) {
    auto answer = question.answer();
    if (answer) co_return std::move(*answer);
    co_await bell.async_wait(asio::as_tuple(asio::use_awaitable));
    const auto cancelled = (co_await asio::this_coro::cancellation_state).cancelled();
    if (cancelled != asio::cancellation_type::none) throw boost::system::system_error(asio::error::operation_aborted);
  }
}

asio::awaitable<model::Result<Response>> exchange(Network& network, Endpoint peer, config::Credential credential,
                                                  Request request, std::optional<Patience> patience) {
  std::vector<config::Credential> credentials;
  credentials.push_back(std::move(credential));
  auto first = co_await exchange_first(network, std::move(peer), std::move(credentials), std::move(request), patience);
  co_return std::move(first.response);
}

}  // namespace frisket::snmp
