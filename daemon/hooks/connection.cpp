#include "daemon/hooks/connection.h"

#include <boost/asio/connect.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/ssl/host_name_verification.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
namespace ssl = boost::asio::ssl;
using asio::ip::tcp;
using Code = boost::system::error_code;

bool is_address(const std::string& host) {
  Code error;
  asio::ip::make_address(host, error);
  return !error;
}

}  // namespace

Connection::Connection(const asio::any_io_executor& executor)
    : resolver_(executor), datagram_resolver_(executor), socket_(executor), timer_(executor) {}

void Connection::allow(std::chrono::seconds time_limit) {
  timer_.expires_after(time_limit);
  timer_.async_wait([weak = weak_from_this()](const Code& error) {
    const auto self = weak.lock();
    if (error || !self) return;
    self->timed_out_ = true;
    self->close();
  });
}

bool Connection::went_well(const Code& error, const char* doing) {
  if (!error && !closed_) return true;
  const auto what = timed_out_ ? "the time limit is over" : closed_ ? "ended" : error.message();
  trouble_ = std::string(doing) + ": " + model::decode_text(what, model::Charset::utf8);
  return false;
}

asio::awaitable<bool> Connection::open(const std::string& host, std::uint16_t port) {
  Code error;
  const auto service = std::to_string(port);
  const auto found = co_await resolver_.async_resolve(host, service, tcp::resolver::numeric_service,
                                                      asio::redirect_error(asio::use_awaitable, error));
  if (!went_well(error, "looking up the name")) co_return false;
  co_await asio::async_connect(socket_, found, asio::redirect_error(asio::use_awaitable, error));
  if (!went_well(error, "connecting")) co_return false;
  socket_.set_option(tcp::no_delay(true), error);
  opened_ = true;
  co_return true;
}

bool Connection::prepare_tls(const std::string& host, const std::filesystem::path& ca_file) {
  context_.emplace(ssl::context::tls_client);
  SSL_CTX_set_min_proto_version(context_->native_handle(), TLS1_2_VERSION);
  Code error;
  if (ca_file.empty())
    context_->set_default_verify_paths(error);
  else
    context_->load_verify_file(ca_file.string(), error);
  if (!went_well(error, "reading the certificates of the authorities")) return false;
  tls_ = std::make_unique<Tls>(socket_, *context_);
  tls_->set_verify_mode(ssl::verify_peer);
  tls_->set_verify_callback(ssl::host_name_verification(host));
  // RFC 6066 section 3: names only, no addresses.
  if (!is_address(host)) SSL_set_tlsext_host_name(tls_->native_handle(), host.c_str());
  return true;
}

asio::awaitable<bool> Connection::encrypt(const std::string& host, const std::filesystem::path& ca_file) {
  if (!ahead_.empty()) {
    trouble_ = "beginning TLS: the other side sent something in clear that it had no reason to";
    co_return false;
  }
  if (!prepare_tls(host, ca_file)) co_return false;
  Code error;
  co_await tls_->async_handshake(ssl::stream_base::client, asio::redirect_error(asio::use_awaitable, error));
  co_return went_well(error, "beginning TLS");
}

asio::awaitable<bool> Connection::write(std::string_view octets) {
  Code error;
  const auto buffer = asio::buffer(octets);
  if (tls_)
    co_await asio::async_write(*tls_, buffer, asio::redirect_error(asio::use_awaitable, error));
  else
    co_await asio::async_write(socket_, buffer, asio::redirect_error(asio::use_awaitable, error));
  co_return went_well(error, "sending");
}

asio::awaitable<std::size_t> Connection::read_some(Code& error) {
  const auto buffer = asio::buffer(piece_);
  std::size_t count = 0;
  if (tls_)
    count = co_await tls_->async_read_some(buffer, asio::redirect_error(asio::use_awaitable, error));
  else
    count = co_await socket_.async_read_some(buffer, asio::redirect_error(asio::use_awaitable, error));
  co_return count;
}

asio::awaitable<bool> Connection::read_line(std::string& line) {
  for (;;) {
    const auto end = ahead_.find('\n');
    if (end != ahead_.npos) {
      line = ahead_.substr(0, end);
      ahead_.erase(0, end + 1);
      if (line.ends_with('\r')) line.pop_back();
      co_return true;
    }
    if (ahead_.size() > kLongestLine) {
      trouble_ = "waiting for an answer: a line is too long";
      co_return false;
    }
    Code error;
    const auto count = co_await read_some(error);
    if (!went_well(error, "waiting for an answer")) co_return false;
    ahead_.append(piece_.data(), count);
  }
}

asio::awaitable<bool> Connection::finish() {
  Code error;
  if (tls_) {
    co_await tls_->async_shutdown(asio::redirect_error(asio::use_awaitable, error));  // sends close_notify
    // Many end the connection without a word of their own, which loses nothing here.
    if (error == asio::error::eof || error == ssl::error::stream_truncated) error = {};
    co_return went_well(error, "ending");
  }
  socket_.shutdown(tcp::socket::shutdown_send, error);
  for (std::size_t heard = 0; !error && heard < kLongestLine;) heard += co_await read_some(error);
  if (error == asio::error::eof) error = {};
  co_return went_well(error, "ending");
}

asio::awaitable<bool> Connection::send_datagram(const std::string& host, std::uint16_t port, std::string_view octets) {
  Code error;
  const auto service = std::to_string(port);
  const auto found = co_await datagram_resolver_.async_resolve(host, service, asio::ip::udp::resolver::numeric_service,
                                                               asio::redirect_error(asio::use_awaitable, error));
  if (!went_well(error, "looking up the name")) co_return false;
  const auto endpoint = found.begin()->endpoint();
  asio::ip::udp::socket socket(datagram_resolver_.get_executor());
  socket.open(endpoint.protocol(), error);
  // Never waits: a datagram that does not fit into the machine's buffers now is tried again like any other failure.
  if (!error) socket.non_blocking(true, error);
  if (!error) socket.send_to(asio::buffer(octets), endpoint, 0, error);
  co_return went_well(error, "sending");
}

void Connection::close() {
  closed_ = true;
  Code ignored;
  timer_.cancel();
  resolver_.cancel();
  datagram_resolver_.cancel();
  socket_.close(ignored);
}

std::string Connection::own_address() const {
  Code error;
  const auto endpoint = socket_.local_endpoint(error);
  if (error) return "[127.0.0.1]";
  const auto address = endpoint.address();
  return (address.is_v6() ? "[IPv6:" : "[") + address.to_string() + "]";
}

}  // namespace frisket::hooks
