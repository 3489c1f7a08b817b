// One TCP, TLS or UNIX connection, and one HTTP exchange at a time over it.
//
// Inside of the transport only. Errors are values; when one was returned the connection is spent.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/http/string_body.hpp>
#include <memory>
#include <optional>
#include <string>

#include "probes/clock/clock.h"
#include "probes/ipp/transport.h"

namespace frisket::ipp {

class Connection {
 public:
  using Socket = boost::asio::generic::stream_protocol::socket;
  using Request = boost::beast::http::request<boost::beast::http::string_body>;

  explicit Connection(const boost::asio::any_io_executor& executor) : socket_(executor) {}

  // What a failure was like, for the words and for whether to try again.
  struct Failure {
    model::Error::Kind kind = model::Error::Kind::silent;
    std::string what;
    bool before_answer = true;  // not one octet of an answer had come
    bool timed_out = false;     // a deadline, not the peer, ended it
  };

  boost::asio::awaitable<std::optional<Failure>> connect(Clock& clock, model::SteadyTime due, Target target);

  // TLS; afterwards fingerprint() is the peer's.
  boost::asio::awaitable<std::optional<Failure>> secure(Clock& clock, model::SteadyTime due,
                                                        boost::asio::ssl::context& context, std::string host);
  const std::string& fingerprint() const { return fingerprint_; }

  struct Answer {
    std::optional<Failure> failure;
    HttpReply reply;
    std::string content_type;
    bool keep = false;  // the peer lets the connection be used again
  };
  boost::asio::awaitable<Answer> exchange(Clock& clock, Limits limits, model::SteadyTime due, const Request& request);

  // Whether a kept connection is still open and silent, as far as this machine knows.
  bool still_good();

  void close();

 private:
  template <class Stream>
  boost::asio::awaitable<Answer> exchange_over(Stream& stream, Clock& clock, Limits limits, model::SteadyTime due,
                                               const Request& request);

  Socket socket_;
  std::optional<boost::asio::ssl::stream<Socket&>> tls_;
  std::string fingerprint_;
  boost::beast::flat_buffer buffer_;
};

}  // namespace frisket::ipp
