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
#include "probes/snmp/usm_dialogue.h"

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;
using model::Error;

// One question with one credential. With SNMPv3 that can take several requests, one after the other.
class Asking {
 public:
  Asking(Network::State& state, asio::steady_timer& bell, Endpoint peer, Patience patience,
         const config::Credential& credential, const Request& request, UsmPeer* usm)
      : state_(state),
        bell_(bell),
        peer_(std::move(peer)),
        patience_(patience),
        credential_(credential),
        request_(request),
        usm_(usm) {
    if (protected_by_user()) dialogue_.emplace(*usm_, credential.user.name);
    send();
  }
  ~Asking() { retire(); }
  Asking(const Asking&) = delete;
  Asking& operator=(const Asking&) = delete;

  bool protected_by_user() const { return credential_.version == config::SnmpVersion::v3; }

  // What came of it; nothing as long as it goes on.
  model::Result<Response>* outcome() {
    while (!outcome_ && pending_->outcome) proceed();
    return outcome_ ? &*outcome_ : nullptr;
  }

 private:
  void send() {
    pending_.emplace(peer_, patience_);
    pending_->credential = &credential_;
    pending_->usm = usm_;
    pending_->discovery = dialogue_ && dialogue_->send() == UsmDialogue::Send::discovery;
    pending_->bell = &bell_;
    state_.start(*pending_, request_);
  }

  // Whatever ends the wait (an answer, cancellation, the frame's destruction), a request leaves the
  // table before it dies.
  void retire() {
    if (!pending_) return;
    pending_->bell = nullptr;
    state_.forget(*pending_);
    pending_.reset();
  }

  void proceed() {
    auto came = std::move(*pending_->outcome);
    if (!dialogue_) {
      outcome_ = std::move(came);
    } else if (pending_->report) {
      const auto report = std::move(*pending_->report);
      follow(report);
    } else if (came) {
      outcome_ = std::move(came);
    } else {
      dialogue_->on_silence(came.error());
      usm_->forget();
      outcome_ = dialogue_->error();
    }
  }

  void follow(const UsmAnswer& report) {
    const auto* known = usm_->engine();
    const bool same = known != nullptr && known->id == report.engine_id;
    switch (dialogue_->on_report(std::get<UsmReport>(report.content), same, report.authentic)) {
      case UsmDialogue::Do::meet:
        usm_->meet(state_.usm_codec.meet(credential_.user, report, state_.clock.steady_now()));
        break;
      case UsmDialogue::Do::send_again:
        break;
      case UsmDialogue::Do::forget:
        usm_->forget();
        break;
      case UsmDialogue::Do::end:
        usm_->forget();  // whatever is changed on the device until then, discovery finds it
        outcome_ = dialogue_->error();
        return;
    }
    retire();
    send();
  }

  Network::State& state_;
  asio::steady_timer& bell_;
  const Endpoint peer_;
  const Patience patience_;
  const config::Credential& credential_;
  const Request& request_;
  UsmPeer* usm_;
  std::optional<UsmDialogue> dialogue_;
  std::optional<PendingRequest> pending_;  // never moved: the table points at it
  std::optional<model::Result<Response>> outcome_;
};

// One question, with every credential.
class Question {
 public:
  Question(std::shared_ptr<Network::State> state, asio::steady_timer& bell) : state_(std::move(state)), bell_(bell) {}

  void ask(const Endpoint& peer, const config::Credential& credential, const Request& request, Patience patience,
           UsmPeer* usm) {
    asking_.emplace_back(*state_, bell_, peer, patience, credential, request, usm);
  }

  // An answer that counts, or, once all have ended, the best of what there is.
  std::optional<FirstAnswer> answer() {
    bool all_ended = true;
    bool user_goes_on = false;
    std::size_t best = 0;
    int best_rank = -1;
    for (std::size_t i = 0; i < asking_.size(); ++i) {
      auto& asking = asking_[i];
      auto* outcome = asking.outcome();
      if (outcome == nullptr) {
        all_ended = false;
        user_goes_on = user_goes_on || asking.protected_by_user();
        continue;
      }
      const int rank = rank_of(*outcome);
      if (rank == kAnswered && (asking.protected_by_user() || !user_goes_on))
        return FirstAnswer{std::move(*outcome), i};
      if (rank > best_rank) {
        best = i;
        best_rank = rank;
      }
    }
    if (!all_ended) return std::nullopt;
    return FirstAnswer{std::move(*asking_[best].outcome()), best};
  }

 private:
  static constexpr int kAnswered = 6;

  // What tells most about the device wins.
  static int rank_of(const model::Result<Response>& outcome) {
    if (outcome) return outcome->refused() ? 5 : kAnswered;
    switch (outcome.error().kind) {
      case Error::Kind::refused:
        return 5;
      case Error::Kind::wrong_key:
        return 4;
      case Error::Kind::unknown_user:
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
  std::deque<Asking> asking_;  // never moved: the table points into them
};

}  // namespace

asio::awaitable<FirstAnswer> exchange_first(Network& network, Endpoint peer,
                                            std::vector<config::Credential> credentials, Request request,
                                            std::optional<Patience> patience, std::span<UsmPeer> usm) {
  if (credentials.empty()) {
    co_return FirstAnswer{Error{Error::Kind::invalid, "asking", "", "no credential to ask with"}, 0};
  }
  const auto state = network.state().shared_from_this();
  const Patience how = patience.value_or(Patience{state->polling.timeout, state->polling.attempts});
  // Not a deadline (those are the network's, in the clock's time): only a place to wait
  // that can be cancelled.
  asio::steady_timer bell(state->executor, asio::steady_timer::time_point::max());
  std::vector<UsmPeer> strangers;
  if (usm.size() < credentials.size()) {
    strangers.resize(credentials.size());
    usm = strangers;
  }
  Question question(state, bell);
  for (std::size_t i = 0; i < credentials.size(); ++i) question.ask(peer, credentials[i], request, how, &usm[i]);
  while (true) {
    auto answer = question.answer();
    if (answer) co_return std::move(*answer);
    co_await bell.async_wait(asio::as_tuple(asio::use_awaitable));
    const auto cancelled = (co_await asio::this_coro::cancellation_state).cancelled();
    if (cancelled != asio::cancellation_type::none) throw boost::system::system_error(asio::error::operation_aborted);
  }
}

asio::awaitable<model::Result<Response>> exchange(Network& network, Endpoint peer, config::Credential credential,
                                                  Request request, std::optional<Patience> patience, UsmPeer* usm) {
  std::span<UsmPeer> known;
  if (usm != nullptr) known = {usm, 1};
  std::vector<config::Credential> credentials;
  credentials.push_back(std::move(credential));
  auto first =
      co_await exchange_first(network, std::move(peer), std::move(credentials), std::move(request), patience, known);
  co_return std::move(first.response);
}

}  // namespace frisket::snmp
