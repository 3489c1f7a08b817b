// simfleet: a fleet of simulated printers on loopback. README.md beside this file is its manual.
#include <signal.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <optional>
#include <string>

#include "tests/simfleet/control.h"
#include "tests/simfleet/daemon_config.h"
#include "tests/simfleet/fleet.h"
#include "tests/simfleet/server.h"
#include "tests/simfleet/toml_reader.h"
#include "tests/simfleet/traps.h"

namespace frisket::simfleet {
namespace {

namespace asio = boost::asio;

struct Options {
  std::string fleet;
  std::string models = FRISKET_SIMFLEET_DIR "/models";
  std::size_t count = 0;
  std::string base = "127.16.0.1";
  std::vector<std::string> bulk_models{"tarnwick-m210"};
  std::string dead = "0%", garbage = "0%", loss = "0%", busy = "50%";
  std::uint16_t port = 16161;
  std::uint64_t seed = 1;
  double speed = 1;
  bool manual_time = false;
  bool until_eof = false;
  std::string write_config;
  std::string traps;
  std::string trap_version = "2c";
  DaemonWishes wishes;
};

double share_of(const std::string& option, std::string text) {
  if (text.ends_with('%')) text.pop_back();
  std::size_t used = 0;
  double value = -1;
  try {
    value = std::stod(text, &used);
  } catch (const std::exception&) {
    used = 0;
  }
  if (used == 0 || used != text.size() || !(value >= 0 && value <= 100))
    throw FileError(option + ": allowed: 0% to 100%");
  return value / 100;
}

Fleet build_fleet(const Options& options) {
  if (options.count == 0) return load_fleet(options.fleet, options.models);
  Bulk bulk;
  bulk.count = options.count;
  const auto base = parse_loopback(options.base);
  if (!base) throw FileError("--base: allowed: an address in 127.0.0.0/8");
  bulk.base = *base;
  for (const auto& name : options.bulk_models)
    bulk.models.push_back(std::filesystem::path(options.models) / (name + ".toml"));
  bulk.seed = options.seed;
  bulk.dead = share_of("--dead", options.dead);
  bulk.garbage = share_of("--garbage", options.garbage);
  bulk.loss = share_of("--loss", options.loss);
  bulk.busy = share_of("--busy", options.busy);
  return make_fleet(bulk);
}

asio::ip::udp::endpoint trap_target(const std::string& text) {
  const auto colon = text.rfind(':');
  const auto address = parse_loopback(text.substr(0, colon));
  const auto port = colon == std::string::npos ? 0UL : std::strtoul(text.c_str() + colon + 1, nullptr, 10);
  if (!address || port == 0 || port > 65535) throw FileError("--traps: allowed: 127.x.y.z:PORT");
  return {asio::ip::make_address_v4(*address), static_cast<std::uint16_t>(port)};
}

// From now on every device tells of its critical alerts. What a fleet file made so
// before is not told: the device has been on for a while.
void send_traps(Fleet& fleet, Server& server, const Options& options) {
  const auto version = options.trap_version == "1" ? Version::v1 : Version::v2c;
  const auto to = trap_target(options.traps);
  const auto request_id = std::make_shared<std::int32_t>(0);
  for (const auto& device : fleet.devices) {
    device->on_critical = [&server, version, to, request_id](const Device& from, const AlertAdded& alert) {
      server.send(from.identity().address, to, alert_trap(version, from, alert, ++*request_id));
    };
  }
}

// Reads commands from standard input until it ends; then, if wished, ends the program.
class Console {
 public:
  Console(asio::io_context& context, Control& control, bool until_eof, std::function<void()> quit)
      : input_(context, ::dup(STDIN_FILENO)), control_(control), until_eof_(until_eof), quit_(std::move(quit)) {
    read();
  }
  void stop() {
    boost::system::error_code ignored;
    input_.close(ignored);
  }

 private:
  void read() {
    asio::async_read_until(input_, asio::dynamic_buffer(line_, 1 << 16), '\n',
                           [this](const boost::system::error_code& error, std::size_t size) {
                             if (error) {
                               if (until_eof_ && error != asio::error::operation_aborted) quit_();
                               return;
                             }
                             const std::string command = line_.substr(0, size - 1);
                             line_.erase(0, size);
                             std::puts(control_.answer(command).c_str());
                             std::fflush(stdout);
                             if (input_.is_open()) read();
                           });
  }

  asio::posix::stream_descriptor input_;
  Control& control_;
  bool until_eof_;
  std::function<void()> quit_;
  std::string line_;
};

// Lets time lines happen even where nobody asks.
class Ticker {
 public:
  Ticker(asio::io_context& context, Fleet& fleet, FleetTime& time) : timer_(context), fleet_(fleet), time_(time) {
    wait();
  }
  void stop() { timer_.cancel(); }

 private:
  void wait() {
    timer_.expires_after(std::chrono::milliseconds(200));
    timer_.async_wait([this](const boost::system::error_code& error) {
      if (error) return;
      fleet_.advance_to(time_.now());
      wait();
    });
  }
  asio::steady_timer timer_;
  Fleet& fleet_;
  FleetTime& time_;
};

int serve(const Options& options) {
  auto fleet = build_fleet(options);
  asio::io_context context(1);
  FleetTime time(options.speed, options.manual_time,
                 [] { return std::chrono::steady_clock::now().time_since_epoch(); });
  Server server(context, fleet, options.port, options.seed, [&] { return time.now(); });
  if (!options.write_config.empty()) write_daemon_config(options.write_config, fleet, server.port(), options.wishes);

  if (!options.traps.empty()) send_traps(fleet, server, options);
  std::optional<Console> console;
  std::optional<Ticker> ticker;
  asio::signal_set signals(context, SIGINT, SIGTERM);
  const auto quit = [&] {
    boost::system::error_code ignored;
    signals.cancel(ignored);
    server.stop();
    if (console) console->stop();
    if (ticker) ticker->stop();
  };
  signals.async_wait([&](const boost::system::error_code& error, int) {
    if (!error) quit();
  });
  Control control(fleet, time, server, quit);
  if (!options.manual_time) ticker.emplace(context, fleet, time);
  // A file or /dev/null cannot be waited for: then there is no control channel.
  try {
    console.emplace(context, control, options.until_eof, quit);
  } catch (const boost::system::system_error&) {
    if (options.until_eof) throw FileError("--until-eof: standard input must be a pipe, socket or terminal");
  }
  std::printf("ready %zu devices on port %u\n", fleet.devices.size(), static_cast<unsigned>(server.port()));
  std::fflush(stdout);
  context.run();
  return 0;
}

void describe(CLI::App& app, Options& options) {
  auto* fleet = app.add_option("--fleet,fleet", options.fleet, "A fleet file (fleets/garden.toml)");
  app.add_option("--models", options.models, "Folder of the model files");
  app.add_option("--count", options.count, "Make so many devices instead of reading a fleet file")->excludes(fleet);
  app.add_option("--base", options.base, "First address of the devices made");
  app.add_option("--model", options.bulk_models, "Model of the devices made; several are taken in turn");
  app.add_option("--dead", options.dead, "Share of the devices made that never answer");
  app.add_option("--garbage", options.garbage, "Share of the devices made that answer with random octets");
  app.add_option("--loss", options.loss, "Share of datagrams lost each way, on every device made");
  app.add_option("--busy", options.busy, "Share of the devices made that print (1 to 6 pages a minute)");
  app.add_option("--port", options.port, "UDP port on all the addresses; 0 takes a free one");
  app.add_option("--seed", options.seed, "Seed of everything random");
  app.add_option("--speed", options.speed, "Simulated seconds per second")->check(CLI::Range(0.001, 100000.0));
  app.add_option("--traps", options.traps, "Send printerV2Alert traps for critical alerts to this 127.x.y.z:PORT");
  app.add_option("--trap-version", options.trap_version, "SNMP version of the traps")
      ->check(CLI::IsMember({"1", "2c"}));
  app.add_flag("--manual-time", options.manual_time, "Time stands still but for the command advance");
  app.add_flag("--until-eof", options.until_eof, "End when standard input ends");
  app.add_option("--write-config", options.write_config, "Write a frisketd configuration for this fleet");
  app.add_option("--listen", options.wishes.listen, "daemon.listen in it");
  app.add_option("--state-dir", options.wishes.state_dir, "daemon.state_dir in it");
  app.add_option("--socket", options.wishes.socket, "daemon.socket in it; by default frisket.sock in --state-dir");
  app.add_option("--poll-interval", options.wishes.poll_interval, "device.poll_interval in it");
  app.add_option("--hook-program", options.wishes.hook_program, "An exec hook in it that runs this program");
  app.add_option("--hook-kinds", options.wishes.hook_kinds, "Its incident kinds");
}

}  // namespace
}  // namespace frisket::simfleet

int main(int argc, char** argv) {
  frisket::simfleet::Options options;
  CLI::App app{"A fleet of simulated printers that answer SNMP on 127.x.y.z"};
  frisket::simfleet::describe(app, options);
  CLI11_PARSE(app, argc, argv);
  if (options.count == 0 && options.fleet.empty()) {
    std::fprintf(stderr, "simfleet: needs a fleet file or --count\n");
    return 2;
  }
  try {
    return frisket::simfleet::serve(options);
  } catch (const frisket::simfleet::FileError& error) {
    std::fprintf(stderr, "simfleet: %s\n", error.what());
    return 2;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "simfleet: %s\n", error.what());
    return 1;
  }
}
