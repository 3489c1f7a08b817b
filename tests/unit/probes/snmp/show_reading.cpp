// Reads one device once and prints what was read: for looking at a peer by hand.
//
//   show_reading ADDRESS PORT COMMUNITY [POLLS]
//
// With POLLS above 1, prints the CPU time of one poll instead. Not installed.
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <cstdlib>
#include <ctime>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

#include "probes/clock/clock.h"
#include "probes/snmp/device_probe.h"

namespace {

using namespace frisket;

std::string amount(const model::Level& level) {
  if (std::holds_alternative<model::SomeLeft>(level)) return "some";
  if (std::holds_alternative<model::Unlimited>(level)) return "unlimited";
  const auto count = model::amount_of(level);
  return count ? std::to_string(*count) : "unknown";
}

void print(const model::DeviceReading& reading) {
  std::cout << reading.device << ": " << to_text(reading.reach) << ' ' << reading.detail << '\n';
  if (!reading.snapshot) return;
  const auto& device = *reading.snapshot;
  std::cout << "system: " << device.system.description << " | " << device.system.object_id << " | "
            << device.system.name << " | " << device.system.location << '\n'
            << "host: " << device.host.description << " | " << (device.host.printer ? label(*device.host.printer) : "-")
            << " |";
  if (device.host.errors) {
    for (const auto bit : device.host.errors->list()) std::cout << ' ' << model::to_text(bit);
  }
  std::cout << "\ngeneral: " << device.general.printer_name << " | " << device.general.serial_number << " | "
            << device.impressions().value_or(0) << " impressions\n";
  for (const auto& cover : device.covers) {
    std::cout << "cover " << cover.index << ": " << cover.description << ", " << label(cover.status) << '\n';
  }
  for (const auto& input : device.inputs) {
    std::cout << "input " << input.index << ": " << input.name << ", " << input.description << ", " << input.media_name
              << ", level " << amount(input.current_level) << ", " << to_text(input.status) << '\n';
  }
  for (const auto& output : device.outputs) {
    std::cout << "output " << output.index << ": " << output.name << ", room " << amount(output.remaining_capacity)
              << '\n';
  }
  for (const auto& supply : device.supplies) {
    std::cout << "supply " << supply.index << ": " << supply.description << ", " << label(supply.type) << ", "
              << supply.colorant << ", level " << amount(supply.level) << ", " << label(supply.unit) << '\n';
  }
  for (const auto& channel : device.channels) {
    std::cout << "channel " << channel.index << ": " << label(channel.type) << ", " << channel.information << '\n';
  }
  for (const auto& interpreter : device.interpreters) {
    std::cout << "interpreter " << interpreter.index << ": " << label(interpreter.family) << ", "
              << interpreter.description << '\n';
  }
  for (const auto& line : device.console) std::cout << "console " << line.index << ": " << line.text << '\n';
  for (const auto& alert : device.alerts) {
    std::cout << "alert " << alert.index << ": " << label(alert.severity) << ", " << label(alert.group) << ' '
              << alert.group_index << ", " << label(alert.code) << ", " << alert.description << '\n';
  }
  for (const auto& gap : device.gaps) std::cout << "gap: " << gap << '\n';
}

boost::asio::awaitable<void> poll_many(snmp::Network& network, snmp::DeviceProbe& probe, int polls) {
  auto reading = co_await probe.poll();
  if (polls <= 1) {
    print(reading);
  } else {
    const auto before = network.counters();
    const auto began = std::clock();
    for (int i = 0; i < polls; ++i) reading = co_await probe.poll();
    const double seconds = static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC;
    std::cout << seconds / polls * 1e6 << " us of CPU a poll, "
              << static_cast<double>(network.counters()["sent"] - before.at("sent")) / polls << " requests a poll\n";
  }
  for (const auto& [name, count] : network.counters()) {
    if (count != 0) std::cout << name << ' ' << count << '\n';
  }
  network.stop();
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 4) return 2;
  boost::asio::io_context context;
  SystemClock clock;
  snmp::Network network(context.get_executor(), clock, config::Polling{});
  config::Device device;
  device.name = "device";
  device.address = argv[1];
  device.port = static_cast<std::uint16_t>(std::atoi(argv[2]));
  config::Credential credential;
  credential.name = "given";
  credential.community = argv[3];
  snmp::DeviceProbe probe(network, clock, device,
                          std::make_shared<const std::vector<config::Credential>>(1, credential));
  auto ended = [](const std::exception_ptr& what) {
    if (what) std::rethrow_exception(what);
  };
  boost::asio::co_spawn(context, poll_many(network, probe, argc > 4 ? std::atoi(argv[4]) : 1), ended);
  context.run();
}
