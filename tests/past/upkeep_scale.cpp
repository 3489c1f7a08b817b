// What upkeep costs with two years of history: the store's size, the outlook of all devices, the order list and a
// round, at three sizes, to see that they grow in proportion.
//
//   upkeep_scale FOLDER [1000 3000 10000]
//
// Prints a line for each size. The folder must be empty; what is made stays there.
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "daemon/store/sqlite_store.h"
#include "daemon/upkeep/fleet_reliability.h"
#include "daemon/upkeep/visit.h"
#include "tests/past/past.h"

namespace {

using namespace frisket;
using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point begin) { return std::chrono::duration<double>(Clock::now() - begin).count(); }

past::Device device_of(int number, std::mt19937_64& random) {
  past::Device device;
  device.name = "copier-" + std::to_string(100'000 + number);
  device.site = "glasshouse";
  device.serial = "QL" + std::to_string(number);
  device.impressions = 400'000;
  std::lognormal_distribution<double> busy(std::log(200.0), 0.7);
  device.a_day = busy(random);
  std::uniform_real_distribution<double> percent(1, 100);
  const std::vector<std::string> colours{"black", "cyan", "magenta", "yellow"};
  for (std::int32_t i = 0; i < 4; ++i) {
    past::Supply supply;
    supply.stated = {i + 1, model::SupplyClass::supply_that_is_consumed, model::SupplyType::toner,
                     colours[static_cast<std::size_t>(i)],
                     "Toner QX-" + std::to_string(700 + number % 25) + std::to_string(i)};
    supply.percent = percent(random);
    supply.lasts = device.a_day * 40;
    device.supplies.push_back(supply);
  }
  return device;
}

struct Fleet {
  upkeep::OutlookSetup setup;
  std::vector<std::string> places;
};

Fleet fill(store::Store& store, int devices, model::WallTime now) {
  Fleet fleet;
  fleet.setup.calendars.emplace("glasshouse", *upkeep::Calendar::of("Europe/Dublin"));
  const auto defaults = upkeep::default_tasks(upkeep::Marking::toner);
  const auto tasks = std::make_shared<const std::vector<upkeep::ServiceTask>>(defaults.begin(), defaults.end());
  std::mt19937_64 random(7);
  store::Batch batch;
  for (int i = 0; i < devices; ++i) {
    const auto device = device_of(i, random);
    batch.history.push_back({device.name, past::past_of(device, now, 730, random).changes});
    fleet.setup.devices.push_back({device.name, device.site, {"Quillon", "", "", ""}, tasks, {}});
    fleet.places.push_back("House " + std::to_string(i / 200) + ", floor " + std::to_string(i / 20 % 10) + ", room " +
                           std::to_string(i % 20));
    if (batch.history.size() < 100 && i + 1 < devices) continue;
    if (const auto written = store.write(batch); !written) std::fprintf(stderr, "%s\n", written.error().text().c_str());
    batch = {};
  }
  return fleet;
}

void measure(const std::filesystem::path& file, int devices) {
  const auto now = std::chrono::floor<model::Milliseconds>(std::chrono::system_clock::now());
  auto opened = store::open_sqlite(file, now);
  if (!opened) {
    std::fprintf(stderr, "%s\n", opened.error().text().c_str());
    return;
  }
  auto begin = Clock::now();
  const auto fleet = fill(*opened->store, devices, now);
  const auto filled = seconds_since(begin);
  auto source = opened->store->history_source();
  begin = Clock::now();
  const auto outlook = upkeep::look_ahead(
      fleet.setup, [&](const std::string& device) { return *(*source)->history(device, model::WallTime{}); }, now);
  const auto looked = seconds_since(begin);
  begin = Clock::now();
  const auto order = upkeep::order_of(fleet.setup, outlook.devices, now);
  const auto ordered = seconds_since(begin);
  begin = Clock::now();
  std::vector<upkeep::VisitedDevice> visited;
  for (std::size_t i = 0; i < fleet.setup.devices.size(); ++i) {
    const auto& device = fleet.setup.devices[i];
    visited.push_back({device.name, fleet.places[i], {}, outlook.devices.at(device.name).get(), *device.tasks});
  }
  auto stops = upkeep::stops_of(visited, now, now + std::chrono::days{7});
  const auto gathered = seconds_since(begin);
  const auto candidates = stops.size();
  auto same = stops;
  begin = Clock::now();
  const auto plan = upkeep::plan_round(std::move(stops), {480.0, 1, {}, {}});
  const auto a_day = gathered + seconds_since(begin);
  begin = Clock::now();
  const auto whole = upkeep::plan_round(std::move(same), {});
  const auto all = gathered + seconds_since(begin);
  std::size_t dated = 0;
  for (const auto& [name, device] : outlook.devices)
    for (const auto& supply : device->supplies) dated += supply.forecast.no_date ? 0 : 1;
  const auto size = static_cast<double>(std::filesystem::file_size(file)) / (1 << 20);
  std::printf(
      "%6d devices: filled in %.0f s, store %.0f MiB, outlook of %zu dated supplies %.1f s, order of %zu parts %.0f "
      "ms, "
      "candidates of a round %zu in %.0f ms, with a day's round %.0f ms (%zu stops), with a round of everything %.0f "
      "ms\n",
      devices, filled, size, dated, looked, order.size(), ordered * 1e3, candidates, gathered * 1e3, a_day * 1e3,
      plan.stops.size(), all * 1e3);
  std::fflush(stdout);
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) {
    std::fprintf(stderr, "usage: upkeep_scale FOLDER [1000 3000 10000]\n");
    return 2;
  }
  std::vector<int> sizes;
  for (int i = 2; i < count; ++i) sizes.push_back(std::atoi(arguments[i]));
  if (sizes.empty()) sizes = {1000, 3000, 10000};
  for (const int devices : sizes)
    measure(std::filesystem::path(arguments[1]) / ("upkeep-" + std::to_string(devices) + ".db"), devices);
}
