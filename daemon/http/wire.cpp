#include "daemon/http/wire.h"

#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <cerrno>

namespace frisket::http {
namespace {

namespace asio = boost::asio;

constexpr auto kAwait = asio::as_tuple(asio::use_awaitable);
constexpr std::size_t kGathered = 32;  // pieces given to TLS at once; Asio gathers 8 KiB of them

}  // namespace

// Not by Asio's own async_write_some: that hands the system 64 pieces at a time, and wakes the reader for each.
asio::awaitable<Wire::Written> Wire::write_some(std::span<const iovec> pieces) {
  if (tls_) {
    // Asio gathers small ones into one record.
    std::array<asio::const_buffer, kGathered> some;
    const auto count_of_some = std::min(pieces.size(), some.size());
    for (std::size_t i = 0; i < count_of_some; ++i) some[i] = {pieces[i].iov_base, pieces[i].iov_len};
    const auto [error, count] = co_await tls_->async_write_some(some, kAwait);
    co_return Written{error, count};
  }
  msghdr message{};
  message.msg_iov = const_cast<iovec*>(pieces.data());  // sendmsg(2) only reads it
  message.msg_iovlen = pieces.size();
  while (true) {
    const auto count = sendmsg(socket_.native_handle(), &message, MSG_DONTWAIT | MSG_NOSIGNAL);
    if (count >= 0) co_return Written{{}, static_cast<std::size_t>(count)};
    const auto problem = errno;
    if (problem == EINTR) continue;
    if (problem != EAGAIN && problem != EWOULDBLOCK)
      co_return Written{boost::system::error_code(problem, boost::system::system_category()), 0};
    const auto [error] = co_await socket_.async_wait(Socket::wait_write, kAwait);
    if (error) co_return Written{error, 0};
  }
}

}  // namespace frisket::http
