// An HTTP server of a few lines that behaves as badly as it is told, on the loopback.
//
// In the test's own io_context: nothing here waits for anything but the sockets.
#pragma once

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "pending.h"

namespace frisket::testing {

namespace asio = boost::asio;
namespace http = boost::beast::http;

struct Behaviour {
  std::vector<std::string> pieces;  // written one by one
  enum class Then { read_on, close, stay_mute } then = Then::read_on;
};

inline std::string http_answer(std::string_view body, std::string_view more = "",
                               std::string_view type = "application/ipp") {
  return "HTTP/1.1 200 OK\r\nContent-Type: " + std::string(type) +
         "\r\nContent-Length: " + std::to_string(body.size()) + "\r\n" + std::string(more) + "\r\n" + std::string(body);
}

// The text in pieces of that length.
inline std::vector<std::string> in_pieces(const std::string& text, std::size_t length) {
  std::vector<std::string> pieces;
  for (std::size_t i = 0; i < text.size(); i += length) pieces.push_back(text.substr(i, length));
  return pieces;
}

class Peer {
 public:
  using Request = http::request<http::string_body>;
  // What to do with the request: by number of connection and request, both from 1.
  using Script = std::function<Behaviour(int connection, int request)>;

  Peer(asio::io_context& context, Script script, asio::ssl::context* tls = nullptr)
      : context_(context),
        script_(std::move(script)),
        tls_(tls),
        acceptor_(context, {asio::ip::address_v4::loopback(), 0}) {
    asio::co_spawn(context_, accept(), asio::detached);
  }

  std::uint16_t port() const { return acceptor_.local_endpoint().port(); }
  std::string uri(std::string_view scheme = "ipp") const {
    return std::string(scheme) + "://127.0.0.1:" + std::to_string(port()) + "/ipp/print";
  }

  int connections = 0;  // accepted
  int ended = 0;        // seen to end by the other side
  std::vector<Request> requests;

  // Lets a peer that stays mute, or has pieces left, go on with this.
  void write_on_last(std::string text) {
    const auto shared = std::make_shared<std::string>(std::move(text));
    asio::async_write(*last_, asio::buffer(*shared), [shared](boost::system::error_code, std::size_t) {});
  }

 private:
  asio::awaitable<void> accept() {
    while (true) {
      auto [error, socket] = co_await acceptor_.async_accept(asio::as_tuple(asio::use_awaitable));
      if (error) co_return;
      socket.set_option(asio::ip::tcp::no_delay(true));
      const int number = ++connections;
      last_ = std::make_shared<asio::ip::tcp::socket>(std::move(socket));
      if (tls_ == nullptr) {
        asio::co_spawn(context_, serve_plain(last_, number), asio::detached);
      } else {
        asio::co_spawn(context_, serve_tls(last_, number), asio::detached);
      }
    }
  }

  asio::awaitable<void> serve_plain(std::shared_ptr<asio::ip::tcp::socket> socket, int number) {
    co_await serve(*socket, number);
    boost::system::error_code ignored;
    socket->close(ignored);
  }

  asio::awaitable<void> serve_tls(std::shared_ptr<asio::ip::tcp::socket> socket, int number) {
    asio::ssl::stream<asio::ip::tcp::socket&> stream(*socket, *tls_);
    auto [error] = co_await stream.async_handshake(asio::ssl::stream_base::server, asio::as_tuple(asio::use_awaitable));
    if (!error) co_await serve(stream, number);
    if (error) ++ended;
    boost::system::error_code ignored;
    socket->close(ignored);
  }

  template <class Stream>
  asio::awaitable<void> serve(Stream& stream, int number) {
    boost::beast::flat_buffer buffer;
    for (int count = 1;; ++count) {
      http::request_parser<http::string_body> parser;
      parser.body_limit(std::size_t{64} << 20);
      auto [error, octets] = co_await http::async_read(stream, buffer, parser, asio::as_tuple(asio::use_awaitable));
      if (error) {
        ++ended;
        co_return;
      }
      requests.push_back(parser.release());
      const auto behaviour = script_(number, count);
      for (const auto& piece : behaviour.pieces) {
        auto [failed, written] =
            co_await asio::async_write(stream, asio::buffer(piece), asio::as_tuple(asio::use_awaitable));
        if (failed) co_return;
        co_await asio::post(context_, asio::use_awaitable);
      }
      if (behaviour.then == Behaviour::Then::close) co_return;
      if (behaviour.then == Behaviour::Then::stay_mute) {
        char octet = 0;
        co_await stream.async_read_some(asio::buffer(&octet, 1), asio::as_tuple(asio::use_awaitable));
        ++ended;
        co_return;
      }
    }
  }

  asio::io_context& context_;
  Script script_;
  asio::ssl::context* tls_;
  asio::ip::tcp::acceptor acceptor_;
  std::shared_ptr<asio::ip::tcp::socket> last_;
};

}  // namespace frisket::testing
