// How many answers a second a server on loopback gives, beside a bare Beast server that gives the very same octets.
//
//   http_rate PORT PATH SECONDS CONNECTIONS [PACE]
//
// Both are asked in turns, so that a busy machine is as busy for both. Then CONNECTIONS readers ask the first one
// alone, each PACE milliseconds after its last answer (0: at once), and how long they waited is printed. With a pace
// they begin one after the other: readers who do not know of each other do not all come at one moment.
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <string>
#include <vector>

namespace {

namespace asio = boost::asio;
namespace http = boost::beast::http;
using asio::ip::tcp;
using Steady = std::chrono::steady_clock;
constexpr auto kAwait = asio::as_tuple(asio::use_awaitable);

using Message = http::response<http::string_body>;

tcp::endpoint loopback(std::uint16_t port) { return {asio::ip::address_v4::loopback(), port}; }

std::string request_for(const std::string& path) { return "GET " + path + " HTTP/1.1\r\nHost: localhost\r\n\r\n"; }

Message fetch(std::uint16_t port, const std::string& path) {
  asio::io_context io;
  tcp::socket socket(io);
  socket.connect(loopback(port));
  asio::write(socket, asio::buffer(request_for(path)));
  boost::beast::flat_buffer buffer;
  http::response_parser<http::string_body> parser;
  parser.body_limit(boost::none);
  http::read(socket, buffer, parser);
  return parser.release();
}

// ---- The bare server.

asio::awaitable<void> serve(tcp::socket socket, const Message& answer) {
  boost::beast::flat_buffer buffer;
  while (true) {
    http::request<http::empty_body> request;
    const auto [read_error, read_count] = co_await http::async_read(socket, buffer, request, kAwait);
    if (read_error) co_return;
    http::response<http::span_body<const char>> message;
    message.result(http::status::ok);
    for (const auto& field : answer)
      if (field.name() != http::field::content_length) message.insert(field.name_string(), field.value());
    message.body() = {answer.body().data(), answer.body().size()};
    message.content_length(answer.body().size());
    const auto [write_error, write_count] = co_await http::async_write(socket, message, kAwait);
    if (write_error) co_return;
  }
}

asio::awaitable<void> listen(tcp::acceptor& acceptor, const Message& answer) {
  while (true) {
    auto [error, socket] = co_await acceptor.async_accept(kAwait);
    if (error) co_return;
    socket.set_option(tcp::no_delay(true));
    asio::co_spawn(acceptor.get_executor(), serve(std::move(socket), answer), asio::detached);
  }
}

// In a process of its own, as the other is; ends with this one.
std::pair<pid_t, std::uint16_t> start_bare(const Message& answer) {
  int ends[2];
  if (pipe(ends) != 0) std::abort();
  const auto child = fork();
  if (child == 0) {
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    asio::io_context io(1);
    tcp::acceptor acceptor(io, loopback(0));
    const auto port = acceptor.local_endpoint().port();
    if (write(ends[1], &port, sizeof port) != sizeof port) _exit(1);
    asio::co_spawn(io, listen(acceptor, answer), asio::detached);
    io.run();
    _exit(0);
  }
  std::uint16_t port = 0;
  if (child < 0 || read(ends[0], &port, sizeof port) != sizeof port) std::abort();
  return {child, port};
}

// ---- The readers.

struct Seen {
  std::uint64_t answers = 0;
  std::uint64_t octets = 0;
  std::uint64_t failures = 0;
  std::vector<double> waited;  // milliseconds
};

// One answer off the socket; how many octets, or 0.
asio::awaitable<std::size_t> take_answer(tcp::socket& socket, std::vector<char>& room) {
  std::size_t had = 0;
  std::size_t wanted = 0;
  while (wanted == 0 || had < wanted) {
    // Behind the header all that matters is how much came.
    const auto place = wanted == 0 ? had : 0;
    const auto target = asio::buffer(room.data() + place, room.size() - place);
    const auto [error, count] = co_await socket.async_read_some(target, kAwait);
    if (error) co_return 0;
    had += count;
    if (wanted != 0) continue;
    const std::string_view text(room.data(), had);
    const auto end = text.find("\r\n\r\n");
    if (end == text.npos) continue;
    const auto length = text.find("Content-Length: ");
    if (!text.starts_with("HTTP/1.1 200 ") || length > end) co_return 0;
    wanted = end + 4 + std::strtoull(text.data() + length + 16, nullptr, 10);
  }
  co_return had;
}

asio::awaitable<void> ask(std::uint16_t port, std::string request, Steady::time_point end,
                          std::chrono::milliseconds begin_after, std::chrono::milliseconds pace, Seen& seen) {
  const auto executor = co_await asio::this_coro::executor;
  tcp::socket socket(executor);
  socket.connect(loopback(port));
  socket.set_option(tcp::no_delay(true));
  asio::steady_timer timer(executor, begin_after);
  co_await timer.async_wait(asio::use_awaitable);
  std::vector<char> room(256U << 10U);
  while (Steady::now() < end) {
    const auto begin = Steady::now();
    const auto text = asio::buffer(request);
    co_await asio::async_write(socket, text, asio::use_awaitable);
    const auto octets = co_await take_answer(socket, room);
    if (octets == 0) {
      ++seen.failures;
      co_return;
    }
    ++seen.answers;
    seen.octets += octets;
    seen.waited.push_back(std::chrono::duration<double, std::milli>(Steady::now() - begin).count());
    if (pace.count() == 0) continue;
    timer.expires_after(pace);
    co_await timer.async_wait(asio::use_awaitable);
  }
}

Seen measure(std::uint16_t port, const std::string& path, int connections, double seconds,
             std::chrono::milliseconds pace = {}) {
  asio::io_context io(1);
  Seen seen;
  const auto end = Steady::now() + std::chrono::duration_cast<Steady::duration>(std::chrono::duration<double>(seconds));
  for (int i = 0; i < connections; ++i)
    asio::co_spawn(io, ask(port, request_for(path), end, pace * i / connections, pace, seen), asio::detached);
  io.run();
  return seen;
}

double part(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::ranges::sort(values);
  return values[std::min(values.size() - 1, static_cast<std::size_t>(share * static_cast<double>(values.size())))];
}

}  // namespace

int main(int count, char** words) {
  if (count < 5) {
    std::fprintf(stderr, "usage: http_rate PORT PATH SECONDS CONNECTIONS [PACE]\n");
    return 2;
  }
  const auto port = static_cast<std::uint16_t>(std::atoi(words[1]));
  const std::string path = words[2];
  const double seconds = std::atof(words[3]);
  const int connections = std::atoi(words[4]);
  const std::chrono::milliseconds pace(count > 5 ? std::atoi(words[5]) : 0);

  const auto answer = fetch(port, path);
  const auto [child, bare] = start_bare(answer);
  constexpr int kTurns = 5;
  constexpr int kAskers = 4;
  std::vector<double> ratios;
  std::vector<double> ours;
  std::vector<double> theirs;
  std::uint64_t failures = 0;
  for (int turn = 0; turn < kTurns; ++turn) {
    const double each = seconds / kTurns / 2.0;
    const auto first = measure(port, path, kAskers, each);
    const auto second = measure(bare, path, kAskers, each);
    failures += first.failures + second.failures;
    ours.push_back(static_cast<double>(first.answers) / each);
    theirs.push_back(static_cast<double>(second.answers) / each);
    ratios.push_back(ours.back() / theirs.back());
  }
  kill(child, SIGTERM);
  waitpid(child, nullptr, 0);
  const auto readers = measure(port, path, connections, seconds / 2.0, pace);
  failures += readers.failures;
  std::printf("%s: %zu octets, %.0f answers/s, bare %.0f answers/s, ratio %.2f (%.2f to %.2f)\n", path.c_str(),
              answer.body().size(), part(ours, 0.5), part(theirs, 0.5), part(ratios, 0.5),
              *std::ranges::min_element(ratios), *std::ranges::max_element(ratios));
  std::printf("%s: %d readers, pace %lld ms: %llu answers, p50 %.2f ms, p99 %.2f ms, most %.2f ms, failures %llu\n",
              path.c_str(), connections, static_cast<long long>(pace.count()),
              static_cast<unsigned long long>(readers.answers), part(readers.waited, 0.5), part(readers.waited, 0.99),
              part(readers.waited, 1.0), static_cast<unsigned long long>(failures));
  return failures == 0 ? 0 : 1;
}
