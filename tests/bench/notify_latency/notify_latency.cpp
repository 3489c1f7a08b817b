// How long from a trap until the poll that it causes is on the wire.
//
// The whole daemon (service::Service) runs on a thread of its own; this one is the printers: it
// sends a trap from a device's address and waits for the request that comes to it. Beside that, in
// the same run, a plain echo over an Asio socket on a thread of its own: what two datagrams and a
// wake-up cost at least. The printers never answer, so a poll is one datagram (one attempt).
// Loopback only; ends by itself.
#include <netinet/in.h>
#include <poll.h>
#include <spdlog/spdlog.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/udp.hpp>
#include <boost/asio/post.hpp>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "config/loader.h"
#include "daemon/service/service.h"
#include "probes/clock/clock.h"

namespace {

namespace asio = boost::asio;
using asio::ip::udp;
using namespace std::chrono_literals;
using Instant = std::chrono::steady_clock::time_point;

constexpr std::size_t kDevices = 50;
constexpr std::uint32_t kFirstAddress = 0x7f160001;  // 127.22.0.1
// Each device is told for every 250 ms: more than the interval and the poll's time-out of 100 ms each.
constexpr auto kPace = 5ms;

// coldStart as an SNMPv2-Trap-PDU, community "public" (RFC 3416 section 4.2.6, RFC 3418).
constexpr unsigned char kTrap[] = {0x30, 0x40, 0x02, 0x01, 0x01, 0x04, 0x06, 'p',  'u',  'b',  'l',  'i',  'c',  0xa7,
                                   0x33, 0x02, 0x01, 0x01, 0x02, 0x01, 0x00, 0x02, 0x01, 0x00, 0x30, 0x28, 0x30, 0x0d,
                                   0x06, 0x08, 0x2b, 0x06, 0x01, 0x02, 0x01, 0x01, 0x03, 0x00, 0x43, 0x01, 0x00, 0x30,
                                   0x17, 0x06, 0x0a, 0x2b, 0x06, 0x01, 0x06, 0x03, 0x01, 0x01, 0x04, 0x01, 0x00, 0x06,
                                   0x09, 0x2b, 0x06, 0x01, 0x06, 0x03, 0x01, 0x01, 0x05, 0x01};

udp::socket socket_at(asio::io_context& context, std::uint32_t address) {
  return udp::socket(context, udp::endpoint(asio::ip::make_address_v4(address), 0));
}

bool readable(udp::socket& socket, std::chrono::milliseconds within) {
  pollfd waiting{socket.native_handle(), POLLIN, 0};
  return ::poll(&waiting, 1, static_cast<int>(within.count())) > 0;
}

std::string config_text(const std::filesystem::path& folder, const std::vector<udp::socket>& printers,
                        std::uint16_t trap_port) {
  std::string text = "[daemon]\nlisten = \"127.0.0.1:0\"\nstate_dir = \"" + folder.string() +
                     "\"\nsocket = \"\"\n\n[polling]\ntimeout = \"100ms\"\nattempts = 1\n\n[notifications]\nlisten = "
                     "\"127.0.0.1:" +
                     std::to_string(trap_port) +
                     "\"\nmin_interval = \"100ms\"\npolls_per_second = 10000\n\n[[site]]\nname = \"garden\"\n\n"
                     "[[credential]]\nname = \"read\"\ncommunity = \"public\"\n";
  for (const auto& printer : printers) {
    const auto at = printer.local_endpoint();
    text += "\n[[device]]\nname = \"" + at.address().to_string() + "\"\naddress = \"" + at.address().to_string() +
            "\"\nport = " + std::to_string(at.port()) + "\nsite = \"garden\"\ncredentials = [\"read\"]\n" +
            "poll_interval = \"24h\"\n";
  }
  return text;
}

struct Figures {
  std::vector<double> microseconds;
  std::size_t lost = 0;

  double at(double share) {
    std::ranges::sort(microseconds);
    const auto place = static_cast<std::size_t>(share * static_cast<double>(microseconds.size()));
    return microseconds.at(std::min(place, microseconds.size() - 1));
  }
};

// Sends by send(), waits for the datagram that comes to the socket, so many times.
Figures measure(std::size_t samples, const std::function<udp::socket&(std::size_t)>& printer, const udp::endpoint& to) {
  Figures figures;
  char buffer[2048];
  for (std::size_t i = 0; i < samples; ++i) {
    const Instant next = std::chrono::steady_clock::now() + kPace;
    auto& socket = printer(i);
    const Instant sent = std::chrono::steady_clock::now();
    socket.send_to(asio::buffer(kTrap), to);
    if (readable(socket, 1s)) {
      const Instant came = std::chrono::steady_clock::now();
      socket.receive(asio::buffer(buffer));
      figures.microseconds.push_back(std::chrono::duration<double, std::micro>(came - sent).count());
    } else {
      ++figures.lost;
    }
    std::this_thread::sleep_until(next);
  }
  return figures;
}

Figures measure_echo(std::size_t samples, std::vector<udp::socket>& printers) {
  asio::io_context context;
  udp::socket echo(context, udp::endpoint(asio::ip::address_v4::loopback(), 0));
  char buffer[2048];
  udp::endpoint from;
  std::function<void()> serve = [&] {
    echo.async_receive_from(asio::buffer(buffer), from, [&](const boost::system::error_code& failed, std::size_t size) {
      if (failed) return;
      echo.send_to(asio::buffer(buffer, size), from);
      serve();
    });
  };
  serve();
  const auto to = echo.local_endpoint();
  std::thread server([&] { context.run(); });
  auto figures = measure(
      samples, [&](std::size_t i) -> udp::socket& { return printers[i % printers.size()]; }, to);
  context.stop();
  server.join();
  return figures;
}

// The first polls, which no trap causes.
void drain(std::vector<udp::socket>& printers) {
  char buffer[2048];
  for (auto& printer : printers) {
    if (!readable(printer, 20s)) throw std::runtime_error("a device was not polled at start");
    printer.receive(asio::buffer(buffer));
  }
  std::this_thread::sleep_for(500ms);  // the last poll's time-out
}

std::uint16_t free_port(asio::io_context& context) {
  return socket_at(context, INADDR_LOOPBACK).local_endpoint().port();
}

Figures measure_daemon(std::size_t samples, std::vector<udp::socket>& printers, asio::io_context& mine) {
  const auto folder = std::filesystem::temp_directory_path() / ("notify_latency." + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const auto file = folder / "frisket.toml";
  const auto port = free_port(mine);
  std::ofstream(file) << config_text(folder, printers, port);
  auto loaded = frisket::config::load(file);
  if (!loaded.ok()) throw std::runtime_error("the configuration is refused: " + loaded.findings.at(0).text());

  asio::io_context context;
  frisket::SystemClock clock;
  frisket::service::Service service(context, clock, file, std::move(loaded.config));
  if (const auto started = service.start(); !started) throw std::runtime_error(started.error().text());
  std::thread daemon([&] { context.run(); });
  Figures figures;
  std::string failure;
  try {
    drain(printers);
    figures = measure(samples, [&](std::size_t i) -> udp::socket& { return printers[i % printers.size()]; },
                      {asio::ip::address_v4::loopback(), port});
  } catch (const std::exception& failed) {
    failure = failed.what();
  }
  asio::post(context, [&] { service.stop(); });
  daemon.join();
  std::filesystem::remove_all(folder);
  if (!failure.empty()) throw std::runtime_error(failure);
  return figures;
}

void print(const char* what, Figures& figures) {
  std::printf("%-28s %6zu samples  p50 %8.1f us  p90 %8.1f us  p99 %8.1f us  most %8.1f us  lost %zu\n", what,
              figures.microseconds.size(), figures.at(0.5), figures.at(0.9), figures.at(0.99), figures.at(1),
              figures.lost);
}

}  // namespace

int main(int argc, char** argv) {
  const std::size_t samples = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 2000;
  if (samples == 0 || samples > 1'000'000) {
    std::fprintf(stderr, "notify_latency [SAMPLES]: allowed: 1 to 1000000\n");
    return 2;
  }
  spdlog::set_level(spdlog::level::err);
  try {
    asio::io_context context;
    std::vector<udp::socket> printers;
    for (std::uint32_t i = 0; i < kDevices; ++i) printers.push_back(socket_at(context, kFirstAddress + i));
    auto echo = measure_echo(samples, printers);
    auto trap = measure_daemon(samples, printers, context);
    print("UDP echo (baseline)", echo);
    print("trap to poll sent", trap);
    std::printf("ratio p50 %.1f, p99 %.1f; aim: p99 under 5000 us: %s\n", trap.at(0.5) / echo.at(0.5),
                trap.at(0.99) / echo.at(0.99), trap.at(0.99) < 5000 && trap.lost == 0 ? "met" : "missed");
    return trap.at(0.99) < 5000 && trap.lost == 0 ? 0 : 1;
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "notify_latency: %s\n", failure.what());
    return 1;
  }
}
