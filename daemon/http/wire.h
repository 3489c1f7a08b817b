// The octets of one connection, in clear or under TLS: what Beast and Asio read from and write to.
//
// A reading and a writing operation at a time. What cancels, closes or shuts the socket down goes to the socket itself,
// which must outlive the wire.
#pragma once

#include <sys/uio.h>

#include <boost/asio/awaitable.hpp>
#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <memory>
#include <optional>
#include <span>

namespace frisket::http {

class Wire {
 public:
  using Socket = boost::asio::generic::stream_protocol::socket;
  using executor_type = Socket::executor_type;

  // Without a context in clear.
  Wire(Socket& socket, std::shared_ptr<boost::asio::ssl::context> context)
      : socket_(socket), context_(std::move(context)) {
    if (context_) tls_.emplace(socket_, *context_);
  }

  executor_type get_executor() { return socket_.get_executor(); }
  bool is_tls() const { return tls_.has_value(); }
  boost::asio::ssl::stream<Socket&>& tls() { return *tls_; }

  template <class Buffers, class Token>
  auto async_read_some(const Buffers& buffers, Token&& token) {
    if (tls_) return tls_->async_read_some(buffers, std::forward<Token>(token));
    return socket_.async_read_some(buffers, std::forward<Token>(token));
  }

  template <class Buffers, class Token>
  auto async_write_some(const Buffers& buffers, Token&& token) {
    if (tls_) return tls_->async_write_some(buffers, std::forward<Token>(token));
    return socket_.async_write_some(buffers, std::forward<Token>(token));
  }

  struct Written {
    boost::system::error_code error;
    std::size_t octets = 0;
  };

  // Of these pieces as much as goes at once, when any goes; none empty, and at most kMostPieces. They must stay until
  // then.
  boost::asio::awaitable<Written> write_some(std::span<const iovec> pieces);
  static constexpr std::size_t kMostPieces = 1024;  // IOV_MAX of limits.h (7)

 private:
  Socket& socket_;
  std::shared_ptr<boost::asio::ssl::context> context_;  // of the time when the connection came; reloads make another
  std::optional<boost::asio::ssl::stream<Socket&>> tls_;
};

}  // namespace frisket::http
