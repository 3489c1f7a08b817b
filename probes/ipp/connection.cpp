#include "probes/ipp/connection.h"

#include <openssl/evp.h>
#include <openssl/ssl.h>
#include <openssl/x509.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/ssl/error.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/http/error.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/serializer.hpp>
#include <boost/beast/http/write.hpp>
#include <utility>
#include <vector>

#include "probes/clock/connect.h"
#include "probes/clock/resolve.h"
#include "probes/clock/within.h"

namespace frisket::ipp {
namespace {

namespace asio = boost::asio;
namespace http = boost::beast::http;
using boost::system::error_code;
using Kind = model::Error::Kind;
using Failure = Connection::Failure;

constexpr auto kAsTuple = asio::as_tuple(asio::use_awaitable);
constexpr int kMaxInterimAnswers = 4;  // of status 1xx
constexpr std::size_t kReadAhead = std::size_t{64} << 10;
constexpr std::size_t kReadAtOnce = std::size_t{32} << 10;

Failure silent(std::string what) { return {Kind::silent, std::move(what), true}; }

// What an error of the socket, of TLS or of the HTTP parser says about the peer.
Failure failure_of(const error_code& error, bool before_answer) {
  if (error == http::error::end_of_stream || error == asio::error::eof)
    return {Kind::silent, "the connection was closed without an answer", before_answer};
  if (error == http::error::partial_message || error == asio::ssl::error::stream_truncated)
    return {Kind::silent, "the connection broke off in the middle of the answer", before_answer};
  if (error == http::error::header_limit || error == http::error::buffer_overflow)
    return {Kind::nonsense, "the head of its HTTP answer is too large", before_answer};
  if (error == http::error::body_limit) return {Kind::nonsense, "its answer is too large", before_answer};
  if (error.category() == http::make_error_code(http::error::bad_version).category())
    return {Kind::nonsense, "its answer is not HTTP (" + error.message() + ")", before_answer};
  if (error.category() == asio::error::get_ssl_category())
    return {Kind::nonsense, "TLS failed (" + error.message() + ")", before_answer};
  return {Kind::silent, error.message(), before_answer};
}

asio::awaitable<error_code> handshake(asio::ssl::stream<Connection::Socket&>& stream) {
  auto [error] = co_await stream.async_handshake(asio::ssl::stream_base::client, kAsTuple);
  co_return error;
}

template <class Stream, class Serializer>
asio::awaitable<error_code> write_step(Stream& stream, Serializer& serializer) {
  auto [error, count] = co_await http::async_write_some(stream, serializer, kAsTuple);
  co_return error;
}

template <class Stream, class Parser>
asio::awaitable<error_code> read_step(Stream& stream, boost::beast::flat_buffer& buffer, Parser& parser) {
  auto [error, count] = co_await http::async_read_some(stream, buffer, parser, kAsTuple);
  co_return error;
}

std::string fingerprint_of(SSL* session) {
  const std::unique_ptr<X509, decltype(&::X509_free)> certificate(::SSL_get1_peer_certificate(session), &::X509_free);
  if (!certificate) return {};
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned length = 0;
  if (::X509_digest(certificate.get(), ::EVP_sha256(), digest.data(), &length) != 1) return {};
  std::string hex;
  for (unsigned i = 0; i < length; ++i) {
    constexpr std::string_view kDigits = "0123456789abcdef";
    hex += kDigits[digest[i] >> 4];
    hex += kDigits[digest[i] & 0x0f];
  }
  return hex;
}

}  // namespace

asio::awaitable<std::optional<Failure>> Connection::connect(Clock& clock, model::SteadyTime due, Target target) {
  std::vector<asio::generic::stream_protocol::endpoint> peers;
  if (!target.socket.empty()) {
    const std::string path = target.socket.string();
    if (path.size() >= sizeof(sockaddr_un{}.sun_path)) co_return Failure{Kind::invalid, "its path is too long", true};
    peers.emplace_back(asio::local::stream_protocol::endpoint(path));
  } else {
    auto found = co_await resolve(clock, due, target.host, target.port);
    if (!found) co_return silent("the name cannot be resolved: " + found.error().what);
    for (const auto& each : *found) peers.emplace_back(each);
  }
  auto why = co_await connect_to_one_of(clock, socket_, std::move(peers), due);
  if (!why.empty()) co_return silent(std::move(why));
  if (target.socket.empty()) {
    error_code ignored;
    // NOLINTNEXTLINE(bugprone-unused-return-value): slower without it, not wrong
    socket_.set_option(asio::ip::tcp::no_delay(true), ignored);
  }
  co_return std::nullopt;
}

asio::awaitable<std::optional<Failure>> Connection::secure(Clock& clock, model::SteadyTime due,
                                                           asio::ssl::context& context, std::string host) {
  tls_.emplace(socket_, context);
  error_code no_literal;
  asio::ip::make_address(host, no_literal);
  if (no_literal) ::SSL_set_tlsext_host_name(tls_->native_handle(), host.c_str());
  auto work = handshake(*tls_);
  const auto error = co_await within(clock, due, std::move(work));
  if (!error) co_return silent("no TLS handshake in time");
  if (*error) {
    auto failure = failure_of(*error, true);
    if (failure.kind == Kind::silent) failure.what = "the TLS handshake broke off: " + error->message();
    co_return failure;
  }
  fingerprint_ = fingerprint_of(tls_->native_handle());
  if (fingerprint_.empty()) co_return Failure{Kind::nonsense, "TLS without a certificate", true};
  co_return std::nullopt;
}

template <class Stream>
asio::awaitable<Connection::Answer> Connection::exchange_over(Stream& stream, Clock& clock, Limits limits,
                                                              model::SteadyTime due, const Request& request) {
  Answer answer;
  const auto step = [&] { return std::min(due, clock.steady_now() + limits.silence); };

  http::request_serializer<http::string_body> serializer(request);
  std::optional<error_code> write_error = error_code();
  while (!serializer.is_done()) {
    auto work = write_step(stream, serializer);
    write_error = co_await within(clock, step(), std::move(work));
    if (!write_error || *write_error) break;
  }
  if (!write_error) {
    answer.failure = silent("it takes no more of the request");
    co_return answer;
  }
  // A server that refuses a long request answers early and closes: the answer may still be there.

  for (int interim = 0; interim <= kMaxInterimAnswers; ++interim) {
    http::response_parser<http::string_body> parser;
    parser.header_limit(static_cast<std::uint32_t>(limits.header_octets));
    parser.body_limit(limits.body_octets);
    while (!parser.is_done()) {
      auto work = read_step(stream, buffer_, parser);
      const auto error = co_await within(clock, step(), std::move(work));
      const bool nothing_yet = !parser.got_some() && interim == 0;
      if (!error) {
        answer.failure = silent(nothing_yet ? "no answer in time" : "its answer came to a halt");
        answer.failure->before_answer = nothing_yet;
        answer.failure->timed_out = true;
        co_return answer;
      }
      if (*error) {
        answer.failure = failure_of(*write_error && nothing_yet ? *write_error : *error, nothing_yet);
        co_return answer;
      }
    }
    const unsigned status = parser.get().result_int();
    if (status >= 100 && status < 200) continue;
    answer.keep = parser.keep_alive() && !*write_error;
    answer.content_type = std::string(parser.get()[http::field::content_type]);
    answer.reply.status = status;
    answer.reply.body = std::move(parser.get().body());
    co_return answer;
  }
  answer.failure = Failure{Kind::nonsense, "it sends interim HTTP answers without end", false};
  co_return answer;
}

asio::awaitable<Connection::Answer> Connection::exchange(Clock& clock, Limits limits, model::SteadyTime due,
                                                         const Request& request) {
  buffer_.max_size(limits.header_octets + kReadAhead);
  buffer_.reserve(kReadAtOnce);  // an empty buffer would be filled 512 octets at a time
  auto work =
      tls_ ? exchange_over(*tls_, clock, limits, due, request) : exchange_over(socket_, clock, limits, due, request);
  co_return co_await std::move(work);
}

bool Connection::still_good() {
  if (!socket_.is_open() || buffer_.size() > 0) return false;
  char octet = 0;
  const auto got = ::recv(socket_.native_handle(), &octet, 1, MSG_PEEK | MSG_DONTWAIT);
  // Nothing may be there to read between two exchanges: neither an end nor an answer nobody asked for.
  return got < 0 && (errno == EAGAIN || errno == EWOULDBLOCK);
}

void Connection::close() {
  error_code ignored;
  // NOLINTNEXTLINE(bugprone-unused-return-value): it is closed either way
  socket_.close(ignored);
}

}  // namespace frisket::ipp
