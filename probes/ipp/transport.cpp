#include "probes/ipp/transport.h"

#include <openssl/evp.h>

#include <algorithm>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/beast/core/string.hpp>
#include <deque>
#include <set>
#include <utility>
#include <vector>

#include "probes/ipp/connection.h"
#include "probes/model/text.h"

namespace frisket::ipp {
namespace {

namespace asio = boost::asio;
namespace http = boost::beast::http;
using Kind = model::Error::Kind;

bool stays_on_this_machine(const Target& target) {
  if (!target.socket.empty() || target.host == "localhost") return true;
  boost::system::error_code no_literal;
  const auto address = asio::ip::make_address(target.host, no_literal);
  return !no_literal && address.is_loopback();
}

std::string base64(const std::string& octets) {
  std::vector<unsigned char> out(4 * ((octets.size() + 2) / 3) + 1);
  const int length = ::EVP_EncodeBlock(out.data(), reinterpret_cast<const unsigned char*>(octets.data()),
                                       static_cast<int>(octets.size()));
  return {reinterpret_cast<const char*>(out.data()), static_cast<std::size_t>(length)};
}

std::string host_and_port(const Target& target) {
  if (!target.socket.empty()) return "localhost";
  const bool v6 = target.host.find(':') != std::string::npos;
  return (v6 ? "[" + target.host + "]" : target.host) + ":" + std::to_string(target.port);
}

Connection::Request request_for(const Target& target, std::string body) {
  Connection::Request request(http::verb::post, target.path, 11);
  request.set(http::field::host, host_and_port(target));
  request.set(http::field::content_type, "application/ipp");
  request.set(http::field::user_agent, "Frisket");
  if (target.credentials.scheme == Credentials::Scheme::basic)
    request.set(http::field::authorization,
                "Basic " + base64(target.credentials.user + ":" + target.credentials.password));
  if (target.credentials.scheme == Credentials::Scheme::peer)
    request.set(http::field::authorization, "PeerCred " + target.credentials.user);
  request.body() = std::move(body);
  request.prepare_payload();
  return request;
}

bool is_ipp(std::string_view content_type) {
  const auto media_type = content_type.substr(0, content_type.find(';'));
  const auto end = media_type.find_last_not_of(" \t");
  return end != std::string_view::npos && boost::beast::iequals(media_type.substr(0, end + 1), "application/ipp");
}

}  // namespace

struct Transport::State {
  struct Endpoint {
    std::unique_ptr<Connection> kept;
    model::SteadyTime kept_since;
    std::size_t open = 0;  // in use and kept
    std::deque<Sleeper*> waiting;
  };

  State(asio::any_io_executor on, Clock& time, Limits limits_, TrustStore trust_)
      : executor(std::move(on)),
        clock(time),
        limits(limits_),
        trust(std::move(trust_)),
        tls(asio::ssl::context::tls_client) {
    // Trust is by fingerprint, which is checked after the handshake and before anything is sent.
    tls.set_verify_mode(asio::ssl::verify_none);
  }

  std::uint64_t& count(const char* name) { return counts[name]; }

  void forget(Endpoint& endpoint) {
    --endpoint.open;
    ++count("closed");
    if (!endpoint.waiting.empty()) endpoint.waiting.front()->wake();
  }

  void drop_kept(Endpoint& endpoint) {
    if (!endpoint.kept) return;
    endpoint.kept.reset();
    forget(endpoint);
  }

  // Ends what has been kept for too long, anywhere.
  void sweep() {
    const auto now = clock.steady_now();
    for (auto entry = endpoints.begin(); entry != endpoints.end();) {
      Endpoint& endpoint = entry->second;
      if (endpoint.kept && now - endpoint.kept_since > limits.idle) drop_kept(endpoint);
      entry = endpoint.open == 0 && endpoint.waiting.empty() ? endpoints.erase(entry) : std::next(entry);
    }
  }

  asio::any_io_executor executor;
  Clock& clock;
  Limits limits;
  TrustStore trust;
  asio::ssl::context tls;
  bool stopped = false;
  std::map<std::string, Endpoint> endpoints;
  std::set<Connection*> in_use;
  std::map<std::string, std::uint64_t> counts;
};

namespace {

// A connection taken out of the pool. Given back by keep(), else closed; never lost.
class Lease {
 public:
  Lease(std::shared_ptr<Transport::State> state, Transport::State::Endpoint& endpoint,
        std::unique_ptr<Connection> connection, bool fresh)
      : state_(std::move(state)), endpoint_(&endpoint), connection_(std::move(connection)), fresh_(fresh) {
    state_->in_use.insert(connection_.get());
  }
  Lease(Lease&&) = default;
  Lease& operator=(Lease&&) = delete;
  ~Lease() {
    if (!connection_) return;
    state_->in_use.erase(connection_.get());
    connection_.reset();
    state_->forget(*endpoint_);
  }

  Connection& connection() { return *connection_; }
  bool fresh() const { return fresh_; }

  void keep() {
    if (state_->stopped || endpoint_->kept) return;
    state_->in_use.erase(connection_.get());
    endpoint_->kept = std::move(connection_);
    endpoint_->kept_since = state_->clock.steady_now();
    if (!endpoint_->waiting.empty()) endpoint_->waiting.front()->wake();
  }

 private:
  std::shared_ptr<Transport::State> state_;
  Transport::State::Endpoint* endpoint_;  // stays: it is not empty while this is open
  std::unique_ptr<Connection> connection_;
  bool fresh_;
};

// A place in the line of those who wait for a connection, left however the wait ends.
class Place {
 public:
  Place(Transport::State::Endpoint& endpoint, Sleeper& sleeper) : endpoint_(endpoint), sleeper_(&sleeper) {
    endpoint_.waiting.push_back(sleeper_);
  }
  Place(const Place&) = delete;
  Place& operator=(const Place&) = delete;
  ~Place() { std::erase(endpoint_.waiting, sleeper_); }

 private:
  Transport::State::Endpoint& endpoint_;
  Sleeper* sleeper_;
};

using StatePtr = std::shared_ptr<Transport::State>;

// A kept connection if the request may go over one, else a fresh one that is not connected yet, as soon
// as the endpoint has room. Nothing when the deadline came first.
asio::awaitable<std::optional<Lease>> lease(StatePtr state, std::string key, model::SteadyTime due, Repeat repeat) {
  state->sweep();
  auto& endpoint = state->endpoints[key];
  const auto sleeper = state->clock.make_sleeper(state->executor);
  const Place place(endpoint, *sleeper);
  while (!state->stopped) {
    if (endpoint.kept && (repeat == Repeat::never || !endpoint.kept->still_good())) state->drop_kept(endpoint);
    if (endpoint.kept) {
      ++state->count("reused");
      co_return std::optional<Lease>(std::in_place, state, endpoint, std::move(endpoint.kept), false);
    }
    if (endpoint.open < state->limits.connections_per_endpoint) {
      ++endpoint.open;
      ++state->count("opened");
      auto connection = std::make_unique<Connection>(state->executor);
      co_return std::optional<Lease>(std::in_place, state, endpoint, std::move(connection), true);
    }
    if (state->clock.steady_now() >= due) break;
    co_await sleeper->until(due);
  }
  co_return std::nullopt;
}

// Whether the peer's certificate is the one to trust; the failure's words if not.
std::optional<Connection::Failure> distrust(Transport::State& state, const Target& target,
                                            const std::string& fingerprint) {
  const auto changed = [&](const std::string& trusted) {
    return Connection::Failure{
        Kind::refused, "its certificate is not the trusted one: SHA-256 is " + fingerprint + ", trusted is " + trusted,
        true};
  };
  if (!target.pinned_certificate.empty()) {
    if (boost::beast::iequals(target.pinned_certificate, fingerprint)) return std::nullopt;
    return changed(target.pinned_certificate);
  }
  const auto endpoint = host_and_port(target);
  const auto known = state.trust.find ? state.trust.find(endpoint) : std::nullopt;
  if (known && !boost::beast::iequals(*known, fingerprint)) return changed(*known);
  if (!known && state.trust.remember) state.trust.remember(endpoint, fingerprint);
  return std::nullopt;
}

asio::awaitable<std::optional<Connection::Failure>> open(StatePtr state, Connection& connection, Target target,
                                                         model::SteadyTime due) {
  due = std::min(due, state->clock.steady_now() + state->limits.connect);
  auto failure = co_await connection.connect(state->clock, due, target);
  if (failure || !target.tls || !target.socket.empty()) co_return failure;
  failure = co_await connection.secure(state->clock, due, state->tls, target.host);
  if (failure) co_return failure;
  co_return distrust(*state, target, connection.fingerprint());
}

struct Attempt {
  Connection::Answer answer;
  bool over_kept = false;
};

asio::awaitable<Attempt> attempt(StatePtr state, Target target, const Connection::Request& request,
                                 model::SteadyTime due, Repeat repeat) {
  Attempt result;
  auto taken = co_await lease(state, target.endpoint(), due, repeat);
  if (!taken) {
    result.answer.failure = Connection::Failure{
        Kind::silent, state->stopped ? "the daemon stops" : "earlier requests to it are still unanswered", true};
    co_return result;
  }
  result.over_kept = !taken->fresh();
  if (taken->fresh()) {
    result.answer.failure = co_await open(state, taken->connection(), target, due);
    if (result.answer.failure) co_return result;
  }
  result.answer = co_await taken->connection().exchange(state->clock, state->limits, due, request);
  if (result.answer.keep && !result.answer.failure) taken->keep();
  co_return result;
}

}  // namespace

Transport::Transport(asio::any_io_executor executor, Clock& clock, Limits limits, TrustStore trust)
    : state_(std::make_shared<State>(std::move(executor), clock, limits, std::move(trust))) {}

Transport::~Transport() { stop(); }

asio::awaitable<model::Result<HttpReply>> Transport::post(Target target, std::string body, Repeat repeat) {
  const auto state = state_;
  const auto error = [&target](Kind kind, std::string what) {
    return model::Error{kind, "asking the IPP service", target.socket.empty() ? target.uri : target.socket.string(),
                        std::move(what)};
  };
  const auto due = state->clock.steady_now() + state->limits.exchange;
  if (target.credentials.scheme == Credentials::Scheme::basic && !target.tls && !stays_on_this_machine(target))
    co_return error(Kind::invalid, "a password is sent over TLS (ipps) or on this machine only");

  const auto request = request_for(target, std::move(body));
  auto result = co_await attempt(state, target, request, due, repeat);
  const auto& first = result.answer.failure;
  if (first && result.over_kept && first->before_answer && !first->timed_out && repeat == Repeat::harmless) {
    // The peer may have closed the kept connection at the very moment we used it.
    ++state->count("repeated");
    result = co_await attempt(state, target, request, due, Repeat::never);
  }
  auto& answer = result.answer;
  if (!answer.failure && answer.reply.status == 200 && !is_ipp(answer.content_type))
    answer.failure = Connection::Failure{
        Kind::nonsense, "it answers with " + model::decode_text(answer.content_type, model::Charset::ascii, 60), false};
  if (answer.failure) {
    const auto kind = answer.failure->kind;
    ++state->count(kind == Kind::silent ? "silent" : kind == Kind::refused ? "refused" : "nonsense");
    co_return error(kind, answer.failure->what);
  }
  co_return std::move(answer.reply);
}

std::map<std::string, std::uint64_t> Transport::counters() const { return state_->counts; }

std::size_t Transport::open_connections() const {
  std::size_t open = 0;
  for (const auto& [key, endpoint] : state_->endpoints) open += endpoint.open;
  return open;
}

void Transport::stop() {
  state_->stopped = true;
  for (auto* connection : state_->in_use) connection->close();
  for (auto& [key, endpoint] : state_->endpoints) {
    state_->drop_kept(endpoint);
    for (auto* sleeper : endpoint.waiting) sleeper->wake();
  }
}

}  // namespace frisket::ipp
