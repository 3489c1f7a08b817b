// What a poll costs: snmp_poll SIMFLEET [DEVICES] [SECONDS].
//
// Starts the simulated fleet, polls it through the daemon's pipeline (probe, conditions, incidents, board) and
// through baselines, all in one run, and prints CPU time of the polling thread (system time included) for each exchange
// and the ratios between them. Nothing is asserted: machines are noisy, the reader judges.
#include <cstdio>
#include <cstdlib>
#include <exception>

#include "baselines.h"
#include "pipeline.h"
#include "probes/snmp/codec.h"
#include "probes/snmp/watch.h"
#include "tests/simfleet/process.h"

namespace {

using namespace frisket;
using namespace frisket::bench;

snmp::Request steady_request(const model::DeviceSnapshot& device) {
  const snmp::Watch watch(device, {});
  snmp::Request request;
  request.operation = watch.operation();
  request.names = watch.names();
  return request;
}

std::string bytes_of(const snmp::Request& request) {
  snmp::Codec codec;
  config::Credential credential;
  credential.community = "public";
  return codec.encode(request, credential, 0x01020304).value();
}

void print(const char* what, const Figures& figures) {
  std::printf("%-44s %8.2f us, of which %8.2f in the kernel; %7.0f /s on one core\n", what, figures.cpu_us(),
              figures.system / static_cast<double>(figures.exchanges) * 1e6, 1e6 / figures.cpu_us());
}

struct Size {
  Figures first;
  Figures steady;
  std::shared_ptr<const model::DeviceSnapshot> snapshot;
};

Size pipeline_at(const char* simfleet, std::size_t devices, double seconds) {
  simfleet::FleetProcess process(simfleet, {"--port", "0", "--count", std::to_string(devices), "--manual-time"});
  Pipeline pipeline({process.port(), devices});
  Size size;
  size.first = pipeline.first_polls();
  pipeline.first_polls();  // the second poll learns what rows lack
  size.steady = pipeline.polls(seconds);
  size.snapshot = pipeline.snapshot();
  return size;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: snmp_poll SIMFLEET [DEVICES] [SECONDS]\n");
    return 2;
  }
  const std::size_t devices = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 10000;
  const double seconds = argc > 3 ? std::atof(argv[3]) : 3.0;
  try {
    const auto small = pipeline_at(argv[1], 100, seconds);
    const auto large = pipeline_at(argv[1], devices, seconds);
    const auto request = steady_request(*large.snapshot);
    const auto bytes = bytes_of(request);

    simfleet::FleetProcess process(argv[1], {"--port", "0", "--count", std::to_string(devices), "--manual-time"});
    const Fleet fleet{process.port(), devices};
    const auto floor = raw_udp(fleet, bytes, seconds);
    const auto codec = bare_codec(fleet, request, seconds);
    const auto tool = command_line_tool(fleet, request, seconds);

    const auto per_exchange = static_cast<double>(floor.octets) / static_cast<double>(floor.exchanges);
    std::printf("%zu devices; the steady request asks for %zu variables, %zu octets, %.0f both ways\n", devices,
                request.names.size(), bytes.size(), per_exchange);
    print("raw UDP of the same bytes (floor)", floor);
    print("net-snmp as bare codec, same request", codec);
    print("snmpget in a loop", tool);
    print("whole pipeline, unchanged, 100 devices", small.steady);
    print("whole pipeline, unchanged, all devices", large.steady);
    print("whole pipeline, first poll (every table)", large.first);
    std::printf("requests for each steady poll                %.3f\n",
                static_cast<double>(large.steady.requests) / static_cast<double>(large.steady.exchanges));
    std::printf("pipeline at all devices / at 100             %.2f\n", large.steady.cpu_us() / small.steady.cpu_us());
    std::printf("pipeline / raw UDP floor                     %.2f\n", large.steady.cpu_us() / floor.cpu_us());
    std::printf("rate of the pipeline / of the bare codec     %.2f\n", codec.cpu_us() / large.steady.cpu_us());
    std::printf("rate of the pipeline / of snmpget in a loop  %.0f\n", tool.cpu_us() / large.steady.cpu_us());
    return 0;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "snmp_poll: %s\n", error.what());
    return 1;
  }
}
