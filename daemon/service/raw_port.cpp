#include "daemon/service/raw_port.h"

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

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;

constexpr auto kAsTuple = asio::as_tuple(asio::use_awaitable);

model::Error silent(std::string what) {
  return {model::Error::Kind::silent, "sending to a raw port", "", std::move(what)};
}

asio::awaitable<error_code> write_all(tcp::socket& socket, const std::string& octets) {
  auto [error, count] = co_await asio::async_write(socket, asio::buffer(octets), kAsTuple);
  co_return error;
}

// Until the printer closes; what it says is dropped.
asio::awaitable<error_code> read_to_end(tcp::socket& socket) {
  std::array<char, 1024> unwanted{};
  while (true) {
    auto [error, count] = co_await socket.async_read_some(asio::buffer(unwanted), kAsTuple);
    if (error) co_return error;
  }
}

asio::awaitable<model::Result<model::Done>> connect(Clock& clock, tcp::socket& socket, std::string host,
                                                    std::uint16_t port, RawPortLimits limits) {
  auto found = co_await resolve(clock, clock.steady_now() + limits.connect, std::move(host), port);
  if (!found) co_return silent("the name cannot be resolved: " + found.error().what);
  const auto due = clock.steady_now() + limits.connect * static_cast<int>(found->size());
  auto why = co_await connect_to_one_of(clock, socket, std::move(*found), due);
  if (!why.empty()) co_return silent(std::move(why));
  co_return model::Done{};
}

}  // namespace

asio::awaitable<model::Result<model::Done>> write_to_raw_port(Clock& clock, std::string host, std::uint16_t port,
                                                              std::string octets, RawPortLimits limits) {
  const auto executor = co_await asio::this_coro::executor;
  tcp::socket socket(executor);
  auto connected = co_await connect(clock, socket, std::move(host), port, limits);
  if (!connected) co_return connected;
  auto work = write_all(socket, octets);
  const auto error = co_await within(clock, clock.steady_now() + limits.write, std::move(work));
  if (!error) co_return silent("it did not take the page in time");
  if (*error) co_return silent(error->message());
  error_code ignored;
  socket.shutdown(tcp::socket::shutdown_send, ignored);
  // Closing at once could reset the connection under what the printer has not read yet.
  auto rest = read_to_end(socket);
  co_await within(clock, clock.steady_now() + limits.farewell, std::move(rest));
  co_return model::Done{};
}

}  // namespace frisket::service
