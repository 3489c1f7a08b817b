// One connection: requests in, answers out, until either side has enough.
//
// Holds its place in the server's list of sessions as long as it lives. Each wait has a deadline;
// the server ends the waits that are over theirs (expire()). What goes wrong with a peer is
// logged once, at debug: it is the peer's affair.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/fields.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
#include <memory>
#include <optional>

#include "daemon/http/message.h"
#include "daemon/http/server_state.h"
#include "daemon/http/wire.h"

namespace frisket::http {

class Session : public std::enable_shared_from_this<Session> {
 public:
  // TCP or UNIX.
  using Socket = Wire::Socket;

  // Under TLS if there is a context for it.
  Session(std::shared_ptr<ServerState> server, Socket socket, std::shared_ptr<boost::asio::ssl::context> tls,
          HostRule hosts, Origin origin);
  ~Session();
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  // Serves the connection to its end. Called once; the coroutine keeps the session alive.
  static boost::asio::awaitable<void> run(std::shared_ptr<Session> self);

  // Ends the wait under way if its deadline is over. Gives the deadline that is left.
  model::SteadyTime expire(model::SteadyTime now);

  // Since when it waits for a request; nothing while it serves one.
  std::optional<model::SteadyTime> idle_since() const { return idle_since_; }

  // Ends the session at the next good moment: at once if it is idle or an event stream.
  void end_soon();

  // Ends an event stream that was opened with a token: it may not be one any more.
  void tokens_changed();

  void hang_up();

 private:
  using Parser = boost::beast::http::request_parser<boost::beast::http::string_body>;

  // Each gives what to answer instead if the request did not arrive whole and well.
  boost::asio::awaitable<std::optional<Response>> read_request(Parser& parser);
  boost::asio::awaitable<bool> shake_hands();
  boost::asio::awaitable<bool> wait_for_request();
  std::optional<Response> what_is_wrong(boost::system::error_code error, const Parser& parser);

  Response answer(const Parser& parser);
  // Of a request that changes something: comes when it is done.
  boost::asio::awaitable<Response> later_answer(std::function<void(std::function<void(Response)>)> later);
  boost::asio::awaitable<bool> write(const Response& response, unsigned version, bool keep_alive);
  boost::asio::awaitable<void> follow_events(Response response);
  boost::asio::awaitable<bool> write_text(const std::string& text);
  boost::asio::awaitable<void> linger();
  void watch_for_hang_up();

  void set_deadline(model::Milliseconds from_now);
  void note(const char* doing, boost::system::error_code error);

  std::shared_ptr<ServerState> server_;
  Socket socket_;
  Wire wire_;
  const HostRule hosts_;
  const Origin origin_;
  bool showed_token_ = false;  // the last request did
  bool streaming_ = false;     // its answer is an event stream
  boost::beast::flat_buffer buffer_;
  model::SteadyTime deadline_ = model::SteadyTime::max();
  bool expired_ = false;
  bool ending_ = false;
  std::optional<model::SteadyTime> idle_since_;
  std::unique_ptr<Sleeper> event_sleeper_;  // while it is an event stream
  char unwanted_[512];                      // what an event stream's reader sends
};

}  // namespace frisket::http
