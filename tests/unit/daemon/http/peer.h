// A server over loopback, in the test's own io_context and in simulated time, and raw peers that
// may behave as badly as they like.
#pragma once

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
#include <catch2/catch.hpp>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "daemon/http/server.h"
#include "fixtures.h"
#include "simulated_clock.h"

namespace frisket::testing {

using namespace std::chrono_literals;
using boost::asio::ip::tcp;

struct Reply {
  unsigned status = 0;
  std::string body;
  bool keep_alive = false;
  std::string content_type;
  std::optional<std::uint64_t> content_length;
};

// A raw connection. Reads all the time unless told to stall.
template <class Protocol>
class PeerOf {
 public:
  explicit PeerOf(boost::asio::io_context& io, int receive_buffer = 0) : socket_(io) {
    socket_.open(endpoint_protocol());
    if (receive_buffer > 0) socket_.set_option(boost::asio::socket_base::receive_buffer_size(receive_buffer));
  }

  void connect(const typename Protocol::endpoint& endpoint) { socket_.connect(endpoint); }

  // Hands over the text in the background; what the server does not take stays unsent.
  void send(std::string text) {
    auto kept = std::make_shared<std::string>(std::move(text));
    boost::asio::async_write(socket_, boost::asio::buffer(*kept), [kept](boost::system::error_code, std::size_t) {});
  }

  void end_sending() { socket_.shutdown(Protocol::socket::shutdown_send); }
  void hang_up() { socket_.close(); }

  void read() {
    socket_.async_read_some(boost::asio::buffer(piece_), [this](boost::system::error_code error, std::size_t count) {
      received.append(piece_, count);
      if (error) {
        closed = true;
        reset = error != boost::asio::error::eof;
      } else {
        read();
      }
    });
  }

  // Takes the first whole reply off what was received; nothing while it is not whole.
  std::optional<Reply> take_reply(bool to_head = false) {
    boost::beast::http::response_parser<boost::beast::http::string_body> parser;
    parser.body_limit(boost::none);
    parser.eager(true);
    parser.skip(to_head);
    std::size_t used = 0;
    boost::system::error_code error;
    while (!parser.is_done() && used < received.size()) {
      const auto count = parser.put(boost::asio::buffer(received.data() + used, received.size() - used), error);
      if (error == boost::beast::http::error::need_more) return std::nullopt;
      REQUIRE_FALSE(error);
      used += count;
    }
    if (!parser.is_done()) return std::nullopt;
    received.erase(0, used);
    const auto& message = parser.get();
    Reply reply;
    reply.status = message.result_int();
    reply.body = message.body();
    reply.keep_alive = message.keep_alive();
    reply.content_type = std::string(message[boost::beast::http::field::content_type]);
    if (parser.content_length()) reply.content_length = *parser.content_length();
    return reply;
  }

  std::string received;
  bool closed = false;
  bool reset = false;  // closed without having been told

 private:
  static Protocol endpoint_protocol() {
    if constexpr (std::is_same_v<Protocol, tcp>)
      return tcp::v4();
    else
      return Protocol();
  }

  typename Protocol::socket socket_;
  char piece_[4096];
};

using Peer = PeerOf<tcp>;

class ServedGarden {
 public:
  explicit ServedGarden(http::Options options = {}, http::FleetBoard::Bounds bounds = {}, http::Tokens tokens = {})
      : board("run", bounds) {
    board.configure(two_sites());
    options.port = 0;
    server.emplace(io.get_executor(), board, clock, std::move(options));
    server->set_tokens(std::move(tokens));
    const auto started = server->start();
    REQUIRE(started);
    port = *started;
  }

  ~ServedGarden() {
    for (auto& peer : peers_) peer->hang_up();  // their reads end while the peers still exist
    stop();
  }

  // Runs stop() to its end.
  void stop() {
    bool stopped = false;
    boost::asio::co_spawn(io, server->stop(), [&](std::exception_ptr error) {
      stopped = true;
      CHECK_FALSE(error);
    });
    for (int i = 0; i < 100 && !stopped; ++i) clock.advance(1s);
    CHECK(stopped);
    CHECK(server->counters().connections == 0);
    CHECK(board.events().subscribers() == 0);
  }

  // Lets real sockets do their work until it is so; a bound in real time keeps a failure finite.
  bool until(const std::function<bool()>& so) {
    const auto end = std::chrono::steady_clock::now() + 120s;
    while (!so()) {
      if (std::chrono::steady_clock::now() > end) return false;
      io.restart();
      io.run_one_for(20ms);
    }
    return true;
  }

  // Lets simulated time pass in steps until it is so. Gives the time that passed, or nothing.
  std::optional<model::SteadyTime::duration> passes_until(const std::function<bool()>& so, model::Milliseconds at_most,
                                                          model::Milliseconds step = 250ms) {
    const auto begin = clock.steady_now();
    while (clock.steady_now() - begin <= at_most) {
      if (so()) return clock.steady_now() - begin;
      // What a socket brings may need a moment of real time before simulated time goes on.
      io.restart();
      if (io.run_one_for(1ms) == 0) clock.advance(step);
    }
    return std::nullopt;
  }

  Peer& peer(int receive_buffer = 0) {
    peers_.push_back(std::make_unique<Peer>(io, receive_buffer));
    peers_.back()->connect({boost::asio::ip::address_v4::loopback(), port});
    return *peers_.back();
  }

  Peer& reading_peer() {
    auto& made = peer();
    made.read();
    return made;
  }

  Reply reply_to(Peer& peer, bool to_head = false) {
    std::optional<Reply> reply;
    const bool came = until([&] { return (reply = peer.take_reply(to_head)).has_value() || peer.closed; });
    CHECK(came);
    if (!reply) FAIL("hung up without a whole reply; received: " << peer.received);
    return *reply;
  }

  Reply ask(std::string request) {
    auto& asking = reading_peer();
    asking.send(std::move(request));
    return reply_to(asking);
  }

  boost::asio::io_context io;
  SimulatedClock clock{io};
  http::FleetBoard board;
  std::optional<http::Server> server;
  std::uint16_t port = 0;

 private:
  std::vector<std::unique_ptr<Peer>> peers_;
};

inline std::string get(const std::string& target, const std::string& more = "") {
  return "GET " + target + " HTTP/1.1\r\nHost: localhost\r\n" + more + "\r\n";
}

}  // namespace frisket::testing
