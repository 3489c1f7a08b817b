#include "daemon/http/session.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/async_result.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/http/error.hpp>
#include <boost/beast/http/read.hpp>

#include "daemon/http/answer_head.h"
#include "daemon/http/routes.h"
#include "daemon/http/sending.h"

namespace frisket::http {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace bhttp = boost::beast::http;
using boost::system::error_code;

constexpr auto kAwait = asio::as_tuple(asio::use_awaitable);

// Read and thrown away after an answer that ends the connection early, so that closing it
// does not reset it before the peer has read the answer.
constexpr std::size_t kLingerBytes = 256U << 10U;
constexpr model::Milliseconds kLingerDeadline{2'000};

// Written of one answer before others have their turn.
constexpr std::size_t kTurnOctets = 4U << 20U;

std::optional<std::string> field_of(const bhttp::request_header<>& header, bhttp::field name) {
  const auto found = header.find(name);
  if (found == header.end()) return std::nullopt;
  return std::string(found->value());
}

}  // namespace

Session::Session(std::shared_ptr<ServerState> server, Socket socket, std::shared_ptr<asio::ssl::context> tls,
                 HostRule hosts, Origin origin)
    : server_(std::move(server)),
      socket_(std::move(socket)),
      wire_(socket_, std::move(tls)),
      hosts_(std::move(hosts)),
      origin_(std::move(origin)),
      buffer_(server_->options.header_limit + server_->options.body_limit + (8U << 10U)) {
  server_->sessions.insert(this);
}

Session::~Session() {
  server_->sessions.erase(this);
  // Nobody is left whose deadlines were to be watched.
  if (server_->stopping && server_->sessions.empty()) server_->deadline_sleeper->wake();
}

void Session::set_deadline(model::Milliseconds from_now) {
  expired_ = false;
  deadline_ = server_->clock.steady_now() + from_now;
}

model::SteadyTime Session::expire(model::SteadyTime now) {
  if (now >= deadline_) {
    expired_ = true;
    deadline_ = model::SteadyTime::max();
    error_code ignored;
    socket_.cancel(ignored);
  }
  return deadline_;
}

void Session::end_soon() {
  ending_ = true;
  if (event_sleeper_) event_sleeper_->wake();
  if (!idle_since_) return;
  idle_since_.reset();  // so that nobody picks it again to make room
  error_code ignored;
  socket_.cancel(ignored);
}

void Session::tokens_changed() {
  if (showed_token_ && streaming_) end_soon();
}

void Session::hang_up() {
  ending_ = true;
  if (event_sleeper_) event_sleeper_->wake();
  error_code ignored;
  socket_.close(ignored);
}

void Session::note(const char* doing, error_code error) {
  spdlog::debug("http: {}: {}", doing, expired_ ? "too slow" : error.message());
}

asio::awaitable<void> Session::run(std::shared_ptr<Session> self) {
  auto& session = *self;
  const bool met = co_await session.shake_hands();
  while (met && !session.ending_) {
    const bool arrives = co_await session.wait_for_request();
    if (!arrives) break;
    Parser parser;
    parser.header_limit(static_cast<std::uint32_t>(session.server_->options.header_limit));
    parser.body_limit(session.server_->options.body_limit);
    auto refusal = co_await session.read_request(parser);
    const bool broken = refusal.has_value();
    Response response = broken ? std::move(*refusal) : session.answer(parser);
    if (response.later) {
      auto later = std::move(response.later);
      const bool head_only = response.head_only;
      response = co_await session.later_answer(std::move(later));
      response.head_only = head_only;
    }
    if (response.status == 0) break;  // nobody is there to be answered
    ++session.server_->counters.requests;
    if (response.follow && !response.head_only) {
      session.streaming_ = true;
      co_await session.follow_events(std::move(response));
      break;
    }
    const bool keep_alive = !broken && !session.ending_ && parser.get().keep_alive();
    const bool written = co_await session.write(response, broken ? 11 : parser.get().version(), keep_alive);
    if (!written) break;
    if (!keep_alive) {
      co_await session.linger();
      break;
    }
  }
  error_code ignored;
  session.socket_.close(ignored);
}

asio::awaitable<bool> Session::shake_hands() {
  if (!wire_.is_tls()) co_return true;
  set_deadline(server_->options.header_deadline);
  const auto [error] = co_await wire_.tls().async_handshake(asio::ssl::stream_base::server, kAwait);
  if (error) note("a TLS handshake", error);
  co_return !error;
}

asio::awaitable<bool> Session::wait_for_request() {
  if (buffer_.size() > 0) co_return true;  // pipelined behind the last one
  set_deadline(server_->options.idle_deadline);
  idle_since_ = server_->clock.steady_now();
  const auto room = buffer_.prepare(4096);
  const auto [error, count] = co_await wire_.async_read_some(room, kAwait);
  idle_since_.reset();
  buffer_.commit(count);
  if (error && error != asio::error::eof && !expired_ && !ending_) note("waiting for a request", error);
  co_return !error;
}

asio::awaitable<std::optional<Response>> Session::read_request(Parser& parser) {
  set_deadline(server_->options.header_deadline);
  // Most requests have come in one piece, and need no reading any more.
  error_code header_error;
  buffer_.consume(parser.put(buffer_.data(), header_error));
  if (header_error == bhttp::error::need_more) {
    const auto [error, count] = co_await bhttp::async_read_header(wire_, buffer_, parser, kAwait);
    header_error = error;
  }
  if (header_error) co_return what_is_wrong(header_error, parser);
  const auto& header = parser.get();
  if (header.target().size() > server_->options.target_limit)
    co_return problem(414, "the request target is longer than this service reads", "");
  if (header.count(bhttp::field::host) != 1 && (header.version() >= 11 || header.count(bhttp::field::host) > 1))
    co_return problem(400, "a request has exactly one Host field", "");
  if (parser.is_done()) co_return std::nullopt;

  set_deadline(server_->options.body_deadline);
  if (beast::iequals(header[bhttp::field::expect], "100-continue")) {
    static const std::string kContinue = "HTTP/1.1 100 Continue\r\n\r\n";
    const bool written = co_await write_text(kContinue);
    if (!written) co_return Response{.status = 0, .fields = {}, .body = {}, .follow = std::nullopt};
    set_deadline(server_->options.body_deadline);
  }
  const auto [body_error, body_count] = co_await bhttp::async_read(wire_, buffer_, parser, kAwait);
  if (body_error) co_return what_is_wrong(body_error, parser);
  co_return std::nullopt;
}

std::optional<Response> Session::what_is_wrong(error_code error, const Parser& parser) {
  note("reading a request", error);
  if (expired_) return problem(408, "the request did not arrive in time", "");
  if (error == bhttp::error::header_limit || error == bhttp::error::buffer_overflow) {
    if (parser.get().target().empty()) return problem(414, "the request line is longer than this service reads", "");
    return problem(431, "the request's header is larger than this service reads", "");
  }
  if (error == bhttp::error::body_limit)
    return problem(413, "the request's body is larger than this service reads", "");
  if (error == bhttp::error::bad_version) return problem(505, "this service speaks HTTP/1.1 and HTTP/1.0", "");
  if (error == bhttp::error::partial_message) return problem(400, "the request ends in its middle", "");
  if (error.category() == bhttp::make_error_code(bhttp::error::bad_method).category() &&
      error != bhttp::error::end_of_stream)
    return problem(400, "not a request in HTTP: " + error.message(), "");
  return Response{.status = 0, .fields = {}, .body = {}, .follow = std::nullopt};
}

Response Session::answer(const Parser& parser) {
  const auto& header = parser.get();
  Request request;
  request.method = std::string(header.method_string());
  request.target = std::string(header.target());
  request.host = field_of(header, bhttp::field::host);
  if (const auto found = header.find("Last-Event-ID"); found != header.end())
    request.last_event_id = std::string(found->value());
  const auto [first_match, last_match] = header.equal_range(bhttp::field::if_none_match);
  for (auto field = first_match; field != last_match; ++field) request.if_none_match.emplace_back(field->value());
  request.content_type = field_of(header, bhttp::field::content_type).value_or("");
  request.body = parser.get().body();
  const auto [first, last] = header.equal_range(bhttp::field::authorization);
  for (auto field = first; field != last; ++field) request.authorization.emplace_back(field->value());
  showed_token_ = first != last;
  request.origin = origin_;
  request.now = server_->clock.wall_now();
  try {
    auto response = respond(request, server_->board, hosts_, server_->commands, &server_->gate);
    if (response.follow && !response.head_only && server_->counters.event_streams >= server_->options.event_streams)
      return problem(503, "there are as many event streams as this service serves", request.target);
    return response;
  } catch (const std::exception& bug) {
    spdlog::error("[http-answer] a request ended in an internal error: {}", bug.what());
    return problem(500, "this service failed to answer: its log says why", "");
  }
}

asio::awaitable<Response> Session::later_answer(std::function<void(std::function<void(Response)>)> later) {
  deadline_ = model::SteadyTime::max();
  auto start = [executor = server_->executor](auto handler, std::function<void(std::function<void(Response)>)> begin) {
    auto kept = std::make_shared<decltype(handler)>(std::move(handler));
    begin([executor, kept](Response response) {
      // Never from inside of whoever calls back.
      asio::post(executor, [kept, given = std::move(response)]() mutable { std::move (*kept)(std::move(given)); });
    });
  };
  return asio::async_initiate<const asio::use_awaitable_t<>&, void(Response)>(std::move(start), asio::use_awaitable,
                                                                              std::move(later));
}

asio::awaitable<bool> Session::write(const Response& response, unsigned version, bool keep_alive) {
  const auto date = server_->date.of(server_->clock.wall_now());
  const auto head = answer_head(response, {version, keep_alive, date});
  Sending sending(head, response.head_only ? nullptr : &response.body, Wire::kMostPieces);
  std::size_t since_others = 0;
  while (!sending.done()) {
    set_deadline(server_->options.write_deadline);
    const auto pieces = sending.next();
    const auto written = co_await wire_.write_some(pieces);
    if (written.error) {
      note("writing an answer", written.error);
      co_return false;
    }
    sending.sent(written.octets);
    // A reader that is quick enough never lets it wait; everybody else would.
    since_others += written.octets;
    if (since_others < kTurnOctets) continue;
    since_others = 0;
    co_await asio::post(server_->executor, asio::use_awaitable);
  }
  co_return true;
}

asio::awaitable<bool> Session::write_text(const std::string& text) {
  set_deadline(server_->options.write_deadline);
  const auto bytes = asio::buffer(text);
  const auto [error, count] = co_await asio::async_write(wire_, bytes, kAwait);
  if (error) note("writing", error);
  co_return !error;
}

// The reader stands at a position of the board's event log. What it has not taken yet lies there
// and nowhere else, so a reader that falls behind costs one batch at most.
asio::awaitable<void> Session::follow_events(Response response) {
  auto& counters = server_->counters;
  auto& events = server_->board.events();
  ++counters.event_streams;
  // Leaves the counter right however the stream ends.
  const std::shared_ptr<void> counted(nullptr, [server = server_](void*) { --server->counters.event_streams; });

  // The stream ends with the connection.
  const auto date = server_->date.of(server_->clock.wall_now());
  const auto head = answer_head(response, {.version = 11, .keep_alive = false, .date = date});
  const bool begun = co_await write_text(head);
  if (!begun) co_return;

  error_code ignored;
  if (server_->options.send_buffer == 0)
    socket_.set_option(asio::socket_base::send_buffer_size(server_->options.event_send_buffer), ignored);
  event_sleeper_ = server_->clock.make_sleeper(server_->executor);
  const auto subscription = events.subscribe([sleeper = event_sleeper_.get()] { sleeper->wake(); });
  watch_for_hang_up();

  std::string text = response.body.text();
  auto position = response.follow->position;
  while (!ending_) {
    if (!text.empty()) {
      const bool written = co_await write_text(text);
      if (!written) {
        if (expired_) ++counters.readers_dropped;
        co_return;
      }
    }
    deadline_ = model::SteadyTime::max();
    auto batch = events.after(position, server_->options.event_batch);
    if (!batch) {
      ++counters.readers_dropped;
      spdlog::debug("http: an event stream's reader fell behind what is kept, and was dropped");
      co_return;
    }
    text = std::move(batch->text);
    position = batch->position;
    if (!text.empty() || ending_) continue;
    const auto woke = co_await event_sleeper_->until(server_->clock.steady_now() + server_->options.heartbeat);
    if (woke == Sleeper::Woke::due) text = ": nothing new\n\n";
  }
}

// An event stream's reader has nothing more to say: what it sends, or its end, ends the stream.
void Session::watch_for_hang_up() {
  auto ended = [self = shared_from_this()](error_code, std::size_t) {
    self->ending_ = true;
    if (self->event_sleeper_) self->event_sleeper_->wake();
  };
  wire_.async_read_some(asio::buffer(unwanted_), std::move(ended));
}

asio::awaitable<void> Session::linger() {
  set_deadline(std::min(kLingerDeadline, server_->options.header_deadline));
  if (wire_.is_tls()) {
    // Says that this is the end (close_notify), and waits for the same.
    co_await wire_.tls().async_shutdown(kAwait);
    co_return;
  }
  error_code ignored;
  socket_.shutdown(Socket::shutdown_send, ignored);
  const auto room = asio::buffer(unwanted_);
  for (std::size_t taken = 0; taken < kLingerBytes;) {
    const auto [error, count] = co_await socket_.async_read_some(room, kAwait);
    if (error) break;
    taken += count;
  }
}

}  // namespace frisket::http
