#include "pipeline.h"

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/address_v4.hpp>
#include <stdexcept>
#include <vector>

#include "daemon/http/fleet_board.h"
#include "daemon/incidents/correlator.h"
#include "probes/snmp/device_probe.h"
#include "probes/snmp/network.h"

namespace frisket::bench {

namespace asio = boost::asio;

namespace {

config::Config config_for(const Fleet& fleet) {
  config::Config config;
  config.sites.push_back({"garden", "UTC"});
  config.credentials.push_back({});
  config.credentials[0].name = "read";
  config.credentials[0].community = "public";
  for (std::size_t i = 0; i < fleet.devices; ++i) {
    config::Device device;
    device.name = "device-" + std::to_string(i + 1);
    device.address = asio::ip::address_v4(fleet.address(i)).to_string();
    device.port = fleet.port;
    device.site = "garden";
    device.credentials = {"read"};
    config.devices.push_back(std::move(device));
  }
  return config;
}

}  // namespace

struct Pipeline::State {
  explicit State(const Fleet& fleet) : config(config_for(fleet)) {
    board.configure(config);
    const auto credentials = std::make_shared<const std::vector<config::Credential>>(config.credentials);
    for (const auto& device : config.devices)
      probes.push_back(std::make_unique<snmp::DeviceProbe>(network, clock, device, credentials));
  }

  void take(const model::DeviceReading& reading) {
    if (reading.reach != model::Reach::answered) ++failed;
    for (const auto& transition : correlator.apply(reading)) board.publish_transition(transition);
    if (const auto* status = correlator.device(reading.device))
      board.publish_device(reading.device, *status, reading.at);
  }

  // One of many workers. Each has devices of its own, since a device must not be polled twice at once.
  asio::awaitable<void> work(std::size_t worker, std::size_t stride) {
    do {
      for (auto device = worker; device < probes.size() && !over; device += stride) {
        const auto reading = co_await probes[device]->poll();
        take(reading);
        if (device == 0) first = reading.snapshot;
        ++finished;
        if (!once && finished % 64 == 0 && watch.seconds() >= until) over = true;
      }
    } while (!once && !over);
  }

  // Every device once, or round and round for so long.
  Figures run(double seconds) {
    finished = failed = 0;
    once = seconds <= 0;
    until = seconds;
    over = false;
    const auto before = network.counters();
    watch = Stopwatch();
    const auto workers = std::min(kWindow, probes.size());
    std::size_t working = workers;
    for (std::size_t i = 0; i < workers; ++i)
      asio::co_spawn(context, work(i, workers), [&](const std::exception_ptr& what) {
        if (what) std::rethrow_exception(what);
        if (--working == 0) context.stop();  // the network goes on listening
      });
    context.restart();
    context.run();
    Figures figures;
    watch.read(figures);
    figures.exchanges = finished;
    const auto after = network.counters();
    figures.requests = after.at("sent") + after.at("retransmitted") - before.at("sent") - before.at("retransmitted");
    if (failed != 0) throw std::runtime_error(std::to_string(failed) + " polls failed");
    return figures;
  }

  asio::io_context context{1};
  SystemClock clock;
  config::Config config;
  snmp::Network network{context.get_executor(), clock, config.polling};
  incidents::Correlator correlator{config};
  http::FleetBoard board;
  std::vector<std::unique_ptr<snmp::DeviceProbe>> probes;
  std::shared_ptr<const model::DeviceSnapshot> first;
  std::size_t finished = 0, failed = 0;
  bool once = false;
  Stopwatch watch;
  double until = 0;
  bool over = false;
};

Pipeline::Pipeline(const Fleet& fleet) : state_(std::make_unique<State>(fleet)) {}
Pipeline::~Pipeline() { state_->network.stop(); }
Figures Pipeline::first_polls() { return state_->run(0); }
Figures Pipeline::polls(double seconds) { return state_->run(seconds); }
std::shared_ptr<const model::DeviceSnapshot> Pipeline::snapshot() const { return state_->first; }

}  // namespace frisket::bench
