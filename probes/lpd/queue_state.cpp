#include "probes/lpd/queue_state.h"

#include <algorithm>
#include <array>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <utility>

#include "probes/clock/connect.h"
#include "probes/clock/resolve.h"
#include "probes/clock/within.h"
#include "probes/lpd/answer.h"

namespace frisket::lpd {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;
using model::QueueReach;

constexpr auto kAsTuple = asio::as_tuple(asio::use_awaitable);

// Why there is no answer; reach is answered as long as there is no reason.
struct Trouble {
  QueueReach reach = QueueReach::answered;
  std::string what;
};

Trouble silent(std::string what) { return {QueueReach::silent, std::move(what)}; }

// One question and its answer.
struct Exchange {
  Exchange(const asio::any_io_executor& executor, Clock& on, Limits bounds)
      : clock(on), limits(bounds), due(on.steady_now() + bounds.exchange), socket(executor) {}

  model::SteadyTime step() const { return std::min(due, clock.steady_now() + limits.silence); }

  Clock& clock;
  Limits limits;
  model::SteadyTime due;
  tcp::socket socket;
  std::string answer;
};

asio::awaitable<error_code> write_all(tcp::socket& socket, const std::string& octets) {
  auto [error, count] = co_await asio::async_write(socket, asio::buffer(octets), kAsTuple);
  co_return error;
}

asio::awaitable<error_code> read_some(tcp::socket& socket, std::string& into) {
  std::array<char, 4096> octets{};
  auto [error, count] = co_await socket.async_read_some(asio::buffer(octets), kAsTuple);
  into.append(octets.data(), count);
  co_return error;
}

asio::awaitable<Trouble> connect(Exchange& exchange, Target target) {
  const auto due = std::min(exchange.due, exchange.clock.steady_now() + exchange.limits.connect);
  auto found = co_await resolve(exchange.clock, due, target.host, target.port);
  if (!found) co_return silent("the name cannot be resolved: " + found.error().what);
  auto why = co_await connect_to_one_of(exchange.clock, exchange.socket, std::move(*found), due);
  co_return why.empty() ? Trouble{} : silent(std::move(why));
}

asio::awaitable<Trouble> ask(Exchange& exchange, const std::string& question) {
  auto work = write_all(exchange.socket, question);
  const auto error = co_await within(exchange.clock, exchange.step(), std::move(work));
  if (!error) co_return silent("it does not take the question");
  if (*error) co_return silent(error->message());
  co_return Trouble{};
}

asio::awaitable<Trouble> read_to_end(Exchange& exchange) {
  auto& answer = exchange.answer;
  while (true) {
    auto work = read_some(exchange.socket, answer);
    const auto error = co_await within(exchange.clock, exchange.step(), std::move(work));
    if (!error && answer.empty()) co_return silent("no answer in time");
    if (!error) co_return silent("its answer came to a halt");
    if (*error == asio::error::eof) co_return Trouble{};
    if (*error) co_return silent("the connection broke off: " + error->message());
    if (answer.size() > exchange.limits.octets) co_return Trouble{QueueReach::nonsense, "its answer is too long"};
  }
}

asio::awaitable<Trouble> run(Exchange& exchange, Target target, const std::string& question) {
  auto trouble = co_await connect(exchange, std::move(target));
  if (trouble.reach == QueueReach::answered) trouble = co_await ask(exchange, question);
  if (trouble.reach == QueueReach::answered) trouble = co_await read_to_end(exchange);
  co_return trouble;
}

}  // namespace

asio::awaitable<model::LpdReading> read_queue_state(Clock& clock, Target target, Form form, Limits limits) {
  const auto executor = co_await asio::this_coro::executor;
  Exchange exchange(executor, clock, limits);
  const auto question = command(form, target);
  model::LpdReading reading;
  reading.queue = target.queue;
  auto trouble = co_await run(exchange, std::move(target), question);
  reading.at = clock.wall_now();
  if (trouble.reach == QueueReach::answered) {
    understand(exchange.answer, reading);
  } else {
    reading.reach = trouble.reach;
    reading.detail = std::move(trouble.what);
  }
  co_return reading;
}

}  // namespace frisket::lpd
