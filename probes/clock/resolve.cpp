#include "probes/clock/resolve.h"

#include <boost/asio/ip/address.hpp>
#include <boost/asio/this_coro.hpp>
#include <memory>
#include <utility>

namespace frisket {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;

// Shared by the one who waits and the look-up, which may end long after the waiting did.
struct LookUp {
  explicit LookUp(const asio::any_io_executor& executor) : resolver(executor) {}
  tcp::resolver resolver;
  std::unique_ptr<Sleeper> bell;  // null when nobody waits any more
  bool done = false;
  boost::system::error_code error;
  std::vector<tcp::endpoint> found;
};

model::Error unresolved(const std::string& host, std::string what) {
  return {model::Error::Kind::silent, "resolving the name", host, std::move(what)};
}

}  // namespace

asio::awaitable<model::Result<std::vector<tcp::endpoint>>> resolve(Clock& clock, model::SteadyTime due,
                                                                   std::string host, std::uint16_t port) {
  boost::system::error_code no_literal;
  const auto literal = asio::ip::make_address(host, no_literal);
  if (!no_literal) co_return std::vector<tcp::endpoint>{tcp::endpoint(literal, port)};

  const auto executor = co_await asio::this_coro::executor;
  const auto look_up = std::make_shared<LookUp>(executor);
  look_up->bell = clock.make_sleeper(executor);
  auto take = [look_up](boost::system::error_code error, tcp::resolver::results_type results) {
    look_up->done = true;
    look_up->error = error;
    for (const auto& entry : results) look_up->found.push_back(entry.endpoint());
    if (look_up->bell) look_up->bell->wake();
  };
  look_up->resolver.async_resolve(host, std::to_string(port), tcp::resolver::numeric_service, std::move(take));
  co_await look_up->bell->until(due);
  look_up->bell.reset();
  if (!look_up->done) co_return unresolved(host, "no answer in time");
  if (look_up->error) co_return unresolved(host, look_up->error.message());
  if (look_up->found.empty()) co_return unresolved(host, "no address");
  co_return std::move(look_up->found);
}

}  // namespace frisket
