// forecast_speed: how long the nightly forecasts of a fleet take on one core.
//
//   forecast_speed [DEVICES ...]      default 1000 3000 10000
//
// Forty simulated devices with two years of history, not thinned (eight counter changes a working
// day), stand in turn for the fleet; each has four supplies. Counted is everything from the raw
// counter to the dates, with the site's season and course at hand; reading from the store is not.
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "daemon/upkeep/device_forecast.h"
#include "world.h"

namespace {

using namespace frisket::upkeep;
using namespace std::chrono_literals;

int forecast_one(const bench::SimulatedDevice& device, WallTime now, const Surroundings& around) {
  DeviceHistory history{device.counter, {4, device.supply}};
  int dated = 0;
  for (const auto& supply : forecast_device(std::move(history), bench::calendar(), around, now).supplies) {
    dated += supply.p50 ? 1 : 0;
  }
  return dated;
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<int> sizes;
  for (int i = 1; i < argc; ++i) sizes.push_back(std::atoi(argv[i]));
  if (sizes.empty()) sizes = {1000, 3000, 10000};
  const bench::Site site = bench::simulate(bench::regimes()[0], 5, 40, 730);
  const WallTime now = site.begin + 24h * 730 + 2h;
  std::vector<std::vector<DayUse>> pool;
  for (const auto& device : site.devices) {
    pool.push_back(by_day(unwrap(device.counter, now), bench::calendar()));
    pool.back().pop_back();
  }
  const auto season = season_of(pool, bench::calendar());
  const Surroundings around{season, site_course(pool, bench::calendar(), season), {}};
  for (const int size : sizes) {
    const auto begin = std::chrono::steady_clock::now();
    const std::clock_t cpu = std::clock();
    int dated = 0;
    for (int i = 0; i < size; ++i) dated += forecast_one(site.devices[static_cast<std::size_t>(i) % 40], now, around);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
    const double seconds = static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC;
    std::printf("%6d devices, %d supplies dated: %.1f s of processor time, %.1f s in all\n", size, dated, seconds,
                took.count());
    std::fflush(stdout);
  }
  return 0;
}
