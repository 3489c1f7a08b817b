// A print server of a few lines that behaves as badly as it is told, on the loopback.
//
// In the test's own io_context: nothing here waits for anything but the sockets.
#pragma once

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "pending.h"

namespace frisket::testing {

class LpdServer {
 public:
  struct Behaviour {
    std::vector<std::string> pieces{};  // written one by one
    enum class Then { close, reset, stay_mute, go_on } then = Then::close;
  };

  // What was seen so far.
  struct Seen {
    int connections = 0;
    int ended = 0;  // by the other side, of those that stay mute or go on
    std::size_t written = 0;
    std::vector<std::string> questions;  // with the LF
  };

  LpdServer(asio::io_context& context, Behaviour behaviour) : state_(std::make_shared<State>(context)) {
    state_->behaviour = std::move(behaviour);
    asio::co_spawn(context, accept(state_), asio::detached);
  }
  // Nobody is let in any more; connections under way go on by themselves.
  ~LpdServer() { close(state_->acceptor); }
  LpdServer(const LpdServer&) = delete;
  LpdServer& operator=(const LpdServer&) = delete;

  std::uint16_t port() const { return state_->acceptor.local_endpoint().port(); }
  const Seen& seen() const { return state_->seen; }

 private:
  using Socket = asio::ip::tcp::socket;
  using Then = Behaviour::Then;

  // Shared with the coroutines, which may outlive the server.
  struct State {
    explicit State(asio::io_context& on) : context(on), acceptor(on, {asio::ip::address_v4::loopback(), 0}) {}
    asio::io_context& context;
    asio::ip::tcp::acceptor acceptor;
    Behaviour behaviour;
    Seen seen;
  };
  using Shared = std::shared_ptr<State>;

  template <class Closable>
  static void close(Closable& closable) {
    boost::system::error_code ignored;
    closable.close(ignored);
  }

  static asio::awaitable<void> accept(Shared state) {
    while (true) {
      auto [error, socket] = co_await state->acceptor.async_accept(asio::as_tuple(asio::use_awaitable));
      if (error) co_return;
      ++state->seen.connections;
      socket.set_option(asio::ip::tcp::no_delay(true));
      auto shared = std::make_shared<Socket>(std::move(socket));
      asio::co_spawn(state->context, serve(state, std::move(shared)), asio::detached);
    }
  }

  static asio::awaitable<bool> write(Shared state, std::shared_ptr<Socket> socket, std::string piece) {
    auto [error, count] = co_await asio::async_write(*socket, asio::buffer(piece), asio::as_tuple(asio::use_awaitable));
    state->seen.written += count;
    co_await asio::post(state->context, asio::use_awaitable);
    co_return !error;
  }

  static asio::awaitable<void> serve(Shared state, std::shared_ptr<Socket> socket) {
    std::string question;
    auto [error, count] = co_await asio::async_read_until(*socket, asio::dynamic_buffer(question, 4096), '\n',
                                                          asio::as_tuple(asio::use_awaitable));
    if (error) co_return;
    state->seen.questions.push_back(std::move(question));
    const auto then = state->behaviour.then;
    for (const auto& piece : state->behaviour.pieces) co_await write(state, socket, piece);
    bool more = then == Then::go_on;
    while (more) more = co_await write(state, socket, state->behaviour.pieces.back());
    if (then == Then::reset) socket->set_option(asio::socket_base::linger(true, 0));
    if (then == Then::stay_mute) {
      char octet = 0;
      co_await socket->async_read_some(asio::buffer(&octet, 1), asio::as_tuple(asio::use_awaitable));
    }
    if (then == Then::stay_mute || then == Then::go_on) ++state->seen.ended;
    close(*socket);
  }

  Shared state_;
};

}  // namespace frisket::testing
