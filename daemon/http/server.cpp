#include "daemon/http/server.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "daemon/http/server_state.h"
#include "daemon/http/session.h"
#include "daemon/http/tls.h"
#include "daemon/http/unix_socket.h"

namespace frisket::http {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;

constexpr auto kAwait = asio::as_tuple(asio::use_awaitable);

// Places for the client's UNIX socket that TCP cannot take.
constexpr std::size_t kReserved = 16;
constexpr model::Milliseconds kAcceptPause{500};

constexpr std::string_view kNoRoom =
    "HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nContent-Length: 0\r\nRetry-After: 5\r\n\r\n";

void log_escaped(const std::string& task, std::exception_ptr what) {
  try {
    std::rethrow_exception(std::move(what));
  } catch (const std::exception& bug) {
    spdlog::error("[http-task-ended] {} ended by an internal error: {}", task, bug.what());
  } catch (...) {
    spdlog::error("[http-task-ended] {} ended by an internal error", task);
  }
}

// Makes room by ending the connection that has been idle longest. False if none is idle.
bool make_room(const ServerState& state) {
  Session* longest = nullptr;
  for (auto* session : state.sessions)
    if (session->idle_since() && (longest == nullptr || *session->idle_since() < *longest->idle_since()))
      longest = session;
  if (longest == nullptr) return false;
  longest->end_soon();
  return true;
}

// Ends the waits that are over their deadline. One coroutine for all sessions: none can set
// a deadline that is due before this wakes again.
asio::awaitable<void> watch_deadlines(std::shared_ptr<ServerState> state) {
  while (!state->stopping || !state->sessions.empty()) {
    const auto now = state->clock.steady_now();
    auto next = now + state->shortest_deadline();
    for (auto* session : state->sessions) next = std::min(next, session->expire(now));
    co_await state->deadline_sleeper->until(next);
  }
}

void prepare(tcp::socket& socket, error_code& error) { socket.set_option(tcp::no_delay(true), error); }
void prepare(asio::local::stream_protocol::socket&, error_code&) {}

bool is_loopback(asio::ip::address address) {
  if (address.is_v6() && address.to_v6().is_v4_mapped())
    return asio::ip::make_address_v4(asio::ip::v4_mapped, address.to_v6()).is_loopback();
  return address.is_loopback();
}

// An end that cannot be told any more (the peer has gone) counts as not loopback.
Origin origin_of(const tcp::socket& socket) {
  error_code no_peer;
  error_code no_listener;
  const auto peer = socket.remote_endpoint(no_peer).address();
  const auto listener = socket.local_endpoint(no_listener).address();
  Origin origin;
  origin.address = no_peer ? "unknown" : peer.to_string();
  origin.loopback = !no_peer && !no_listener && is_loopback(peer) && is_loopback(listener);
  return origin;
}

Origin origin_of(asio::local::stream_protocol::socket& socket) {
  Origin origin;
  origin.unix_socket = true;
  origin.address.clear();
  origin.uid = peer_uid(socket.native_handle());
  return origin;
}

template <class Acceptor>
asio::awaitable<void> accept_from(std::shared_ptr<ServerState> state, std::shared_ptr<Acceptor> acceptor,
                                  HostRule hosts, bool beyond_loopback, std::size_t room) {
  const auto pause = state->clock.make_sleeper(state->executor);
  bool complained = false;
  while (!state->stopping) {
    auto [error, socket] = co_await acceptor->async_accept(kAwait);
    if (error == asio::error::operation_aborted || state->stopping) break;
    if (error == asio::error::connection_aborted) continue;
    if (error) {
      // Most likely no more descriptors: those in use will be given back.
      if (!std::exchange(complained, true))
        spdlog::warn("[http-accept] cannot accept connections: {}", error.message());
      co_await pause->until(state->clock.steady_now() + kAcceptPause);
      continue;
    }
    complained = false;
    error_code ignored;
    constexpr bool is_tcp = std::is_same_v<Acceptor, tcp::acceptor>;
    auto tls = is_tcp ? state->tls : nullptr;
    if (state->sessions.size() >= room && !make_room(*state)) {
      ++state->counters.refused;
      if (tls) continue;  // where nothing can be said in a word
      socket.non_blocking(true, ignored);
      socket.send(asio::buffer(kNoRoom), 0, ignored);  // fits into an empty send buffer
      continue;
    }
    prepare(socket, ignored);
    if (state->options.send_buffer > 0)
      socket.set_option(asio::socket_base::send_buffer_size(state->options.send_buffer), ignored);
    ++state->counters.accepted;
    auto origin = origin_of(socket);
    origin.loopback = origin.loopback && !beyond_loopback;
    Session::Socket any_socket(std::move(socket));
    auto session = std::make_shared<Session>(state, std::move(any_socket), std::move(tls), hosts, std::move(origin));
    state->tasks.spawn("a session", Session::run(std::move(session)));
  }
}

model::Result<tcp::acceptor> listen_on(const Options& options, bool tokens, const asio::any_io_executor& executor) {
  const auto whom = options.address + " port " + std::to_string(options.port);
  const auto failure = [&](model::Error::Kind kind, std::string what) {
    return model::Error{kind, "opening the HTTP listener", whom, std::move(what)};
  };
  error_code error;
  const auto address = asio::ip::make_address(options.address, error);
  if (error) return failure(model::Error::Kind::invalid, "not an IP address");
  if (!address.is_loopback() && !tokens)
    return failure(model::Error::Kind::invalid, "without tokens only loopback addresses can be served");
  tcp::acceptor acceptor(executor);
  const tcp::endpoint endpoint(address, options.port);
  acceptor.open(endpoint.protocol(), error);
  if (!error) acceptor.set_option(asio::socket_base::reuse_address(true), error);
  if (!error) acceptor.bind(endpoint, error);
  if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
  if (error) return failure(model::Error::Kind::local, error.message());
  return acceptor;
}

}  // namespace

ServerState::ServerState(asio::any_io_executor executor_, FleetBoard& board_, Commands* commands_, AuditTrail* trail,
                         Clock& clock_, Options options_)
    : executor(executor_),
      board(board_),
      commands(commands_),
      gate(trail),
      clock(clock_),
      options(std::move(options_)),
      tasks(executor_, log_escaped),
      deadline_sleeper(clock_.make_sleeper(executor_)) {}

model::Milliseconds ServerState::shortest_deadline() const {
  return std::min({options.idle_deadline, options.header_deadline, options.body_deadline, options.write_deadline,
                   model::Milliseconds{2'000}});
}

// Listeners are the state's, so that stop() can close them under their coroutines.
struct Listeners {
  std::shared_ptr<tcp::acceptor> on_tcp;
  std::shared_ptr<UnixAcceptor> on_path;
};

Server::Server(asio::any_io_executor executor, FleetBoard& board, Clock& clock, Options options, Commands* commands,
               AuditTrail* trail)
    : state_(std::make_shared<ServerState>(std::move(executor), board, commands, trail, clock, std::move(options))),
      listeners_(std::make_unique<Listeners>()) {}

Server::~Server() = default;

void Server::set_tokens(Tokens tokens) {
  if (!state_->gate.set_tokens(std::move(tokens))) return;
  for (auto* session : state_->sessions) session->tokens_changed();
}

model::Result<model::Done> Server::set_certificate(const std::optional<config::Certificate>& certificate) {
  if (!certificate) {
    state_->tls.reset();
    return model::Done{};
  }
  auto context = tls_context(*certificate);
  if (!context) return context.error();
  state_->tls = std::move(*context);
  return model::Done{};
}

model::Result<std::uint16_t> Server::start() {
  const auto& options = state_->options;
  auto listener = listen_on(options, state_->gate.has_tokens(), state_->executor);
  if (!listener) return listener.error();
  if (options.unix_socket) {
    auto local = listen_at(*options.unix_socket, state_->executor);
    if (!local) return local.error();
    listeners_->on_path = std::make_shared<UnixAcceptor>(std::move(*local));
  }
  listeners_->on_tcp = std::make_shared<tcp::acceptor>(std::move(*listener));

  HostRule hosts;
  hosts.names = options.host_names;
  error_code ignored;
  const bool beyond_loopback = !is_loopback(listeners_->on_tcp->local_endpoint(ignored).address());
  hosts.checked = !beyond_loopback;
  state_->tasks.spawn("watching deadlines", watch_deadlines(state_));
  state_->tasks.spawn("accepting",
                      accept_from(state_, listeners_->on_tcp, hosts, beyond_loopback, options.connections));
  if (listeners_->on_path) {
    HostRule any_host;
    any_host.checked = false;
    state_->tasks.spawn("accepting",
                        accept_from(state_, listeners_->on_path, any_host, false, options.connections + kReserved));
  }
  return listeners_->on_tcp->local_endpoint(ignored).port();
}

asio::awaitable<void> Server::stop() {
  const auto state = state_;
  state->stopping = true;
  error_code ignored;
  if (listeners_->on_tcp) listeners_->on_tcp->close(ignored);
  if (listeners_->on_path) {
    listeners_->on_path->close(ignored);
    std::error_code unlinked;
    std::filesystem::remove(*state->options.unix_socket, unlinked);
  }
  for (auto* session : state->sessions) session->end_soon();
  state->deadline_sleeper->wake();

  // Shared, because the callback may stay behind.
  const std::shared_ptr<Sleeper> sleeper = state->clock.make_sleeper(state->executor);
  const auto wait_for_the_rest = [&](model::Milliseconds at_most) {
    state->tasks.when_idle([sleeper] { sleeper->wake(); });
    return sleeper->until(state->clock.steady_now() + at_most);
  };
  co_await wait_for_the_rest(state->options.stop_wait);
  if (state->tasks.running() == 0) co_return;
  for (auto* session : state->sessions) session->hang_up();
  state->deadline_sleeper->wake();
  co_await wait_for_the_rest(state->options.stop_wait);
}

Server::Counters Server::counters() const {
  auto counters = state_->counters;
  counters.connections = state_->sessions.size();
  return counters;
}

}  // namespace frisket::http
