// forecast_quality: how good the depletion forecasts are on simulated sites whose truth is known.
//
//   forecast_quality [--check] [--seeds FROM-TO] [--devices N] [--every DAYS] [--regime NAME]
//
// Prints, per regime: how often the truth lies within p10 to p90 (forecasts made every so many days
// from the 30th day on, for every cartridge whose end is known), and at 14 days before each
// cartridge's end the median absolute error of days left, beside that of the straight line
// through the last 30 days, and of somebody who knows everything but chance ("best"). A forecast without a date counts
// as an endless error, for both. Seeds from 1001 up were used while the method was built; those reported are others
// (default 1 to 12). With --check it takes fewer (1 to 4, every 34 days), and exits with 1 where a bound is missed that
// docs/upkeep.md says is reached.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <iterator>
#include <limits>
#include <string>
#include <vector>

#include "daemon/upkeep/device_forecast.h"
#include "daemon/upkeep/median.h"
#include "naive.h"
#include "world.h"

namespace {

using namespace frisket::upkeep;
using namespace std::chrono_literals;

constexpr double kNever = std::numeric_limits<double>::infinity();
constexpr int kDays = 1100;       // simulated
constexpr int kLastOrigin = 760;  // the last forecast is made about two years in

struct Tally {
  std::vector<double> at14, naive14, best14, signed14;  // relative errors
  int within = 0, below = 0, above = 0, without = 0, known = 0;
  // By how much history there was: under 90 days, under 380, more.
  int made[3] = {}, hit[3] = {};
};

// What a store would hand over at `now`.
template <class Sample>
std::vector<Sample> until(const std::vector<Sample>& samples, WallTime now) {
  const auto end = std::upper_bound(samples.begin(), samples.end(), now,
                                    [](WallTime at, const Sample& sample) { return at < sample.at; });
  return {samples.begin(), end};
}

CounterHistory until(const CounterHistory& history, WallTime now) {
  CounterHistory part{until(history.samples, now), {}, {}};
  for (const Span& span : history.unobserved) {
    if (span.from < now) part.unobserved.push_back({span.from, std::min(span.to, now)});
  }
  return part;
}

// The present forecast of one device, as the daemon would make it.
class Forecaster {
 public:
  Forecaster(const bench::SimulatedDevice& device) : device_(device) {}

  DepletionForecast at(WallTime now, const Surroundings& around) const {
    DeviceHistory history{until(device_.counter, now), {device_.supply}};
    history.supplies[0].samples = until(device_.supply.samples, now);
    return forecast_device(std::move(history), bench::calendar(), around, now).supplies[0];
  }

  std::vector<DayUse> days_until(WallTime now) const {
    const CounterHistory counter = until(device_.counter, now);
    const WallTime seen = last_seen(counter, now);
    return whole_days(unwrap(counter, seen), bench::calendar(), seen);
  }

 private:
  const bench::SimulatedDevice& device_;
};

double days_or_never(const DepletionForecast& forecast, WallTime now) {
  return forecast.p50 ? days_between(now, *forecast.p50) : kNever;
}

void check_coverage(const DepletionForecast& forecast, WallTime truth, int day, Tally& tally) {
  ++tally.known;
  if (forecast.no_date) {
    ++tally.without;
    return;
  }
  const bool below = forecast.p10 && truth < *forecast.p10;
  const bool above = forecast.p90 && truth > *forecast.p90;
  tally.below += below || !forecast.p10 ? 1 : 0;
  tally.above += above ? 1 : 0;
  const bool within = !below && !above && forecast.p10;
  tally.within += within ? 1 : 0;
  const int age = day < 90 ? 0 : day < 380 ? 1 : 2;
  ++tally.made[age];
  tally.hit[age] += within ? 1 : 0;
}

void run_site(const bench::Regime& regime, std::uint64_t seed, int devices, int every, Tally& tally) {
  const bench::Site site = bench::simulate(regime, seed, devices, kDays);
  std::vector<Forecaster> forecasters;
  for (const auto& device : site.devices) forecasters.emplace_back(device);
  // What the site's devices do together is worked out once a week, from what was known then.
  constexpr int kPoolEvery = 7;
  std::vector<Surroundings> around;
  for (int day = 0; day <= kLastOrigin; day += kPoolEvery) {
    std::vector<std::vector<DayUse>> pool;
    for (const auto& forecaster : forecasters) pool.push_back(forecaster.days_until(site.begin + 24h * day + 2h));
    const auto season = season_of(pool, bench::calendar());
    around.push_back({season, site_course(pool, bench::calendar(), season), {}});
  }
  const auto around_at = [&](WallTime now) -> const Surroundings& {
    const auto day = static_cast<std::size_t>(std::max(0.0, days_between(site.begin, now)));
    return around[std::min(day / kPoolEvery, around.size() - 1)];
  };
  for (std::size_t i = 0; i < site.devices.size(); ++i) {
    const auto& device = site.devices[i];
    for (int day = 30 + static_cast<int>(i) % every; day <= kLastOrigin; day += every) {
      const WallTime now = site.begin + 24h * day + 2h;
      for (const bench::Stay& stay : device.stays) {
        if (!(stay.in <= now && now < stay.out) || !stay.empty_known) continue;
        check_coverage(forecasters[i].at(now, around_at(now)), stay.empty, day, tally);
      }
    }
    for (const bench::Stay& stay : device.stays) {
      if (!stay.empty_known) continue;
      const WallTime now = stay.empty - 14 * 24h;
      if (now < stay.in || now >= stay.out) continue;
      const double day = days_between(site.begin, now);
      if (day < 30 || day > kLastOrigin) continue;
      const double ours = days_or_never(forecasters[i].at(now, around_at(now)), now);
      SupplyHistory seen = device.supply;
      seen.samples = until(device.supply.samples, now);
      const auto line = bench::naive_days_left(seen, now);
      tally.at14.push_back(std::abs(ours - 14) / 14);
      tally.signed14.push_back((ours - 14) / 14);
      tally.best14.push_back(std::abs(stay.best_guess - 14) / 14);
      tally.naive14.push_back(line ? std::abs(*line - 14) / 14 : kNever);
    }
  }
}

double percent(int part, int whole) { return whole == 0 ? 0 : 100.0 * part / whole; }

// What is printed and judged, in percent. Not a number where nothing was forecast.
struct Figures {
  double none = 0, within = 0, error = 0, line = 0, gain = 0;
};

Figures figures_of(const Tally& tally) {
  Figures figures;
  figures.none = percent(tally.without, tally.known);
  figures.within = percent(tally.within, tally.known - tally.without);
  figures.error = 100 * median(tally.at14);
  figures.line = 100 * median(tally.naive14);
  figures.gain = 100 * (1 - figures.error / figures.line);
  return figures;
}

void print(const std::string& name, const Tally& tally) {
  if (tally.at14.empty()) return;
  const Figures figures = figures_of(tally);
  const int dated = tally.known - tally.without;
  std::printf("%-13s %7d %6.1f %8.1f %5.1f %5.1f %5.1f %5.1f %5.1f %6zu %7.1f %7.1f %7.1f %7.1f %7.1f\n", name.c_str(),
              tally.known, figures.none, figures.within, percent(tally.below, dated), percent(tally.above, dated),
              percent(tally.hit[0], tally.made[0]), percent(tally.hit[1], tally.made[1]),
              percent(tally.hit[2], tally.made[2]), tally.at14.size(), figures.error, figures.line, figures.gain,
              100 * median(tally.signed14), 100 * median(tally.best14));
}

// Which of the wanted bounds docs/upkeep.md says are reached; the interval's over all ages are in every regime. Slack,
// because four seeds are few: ten blocks of four (1 to 40) scatter with deviations of up to 2.4, 2.0 and 8.7, and the
// worst of them lie 0.9, 2.1 and 9.2 beyond the bounds. Over all regimes there is none.
struct Reached {
  const char* name;
  bool error;  // at most 15 %
  bool gain;   // at least 30 % over the line
  double within_slack = 4;
  double error_slack = 3;
  double gain_slack = 12;
};
constexpr Reached kReached[] = {
    {"steady", true, true}, {"seasonal", false, true},    {"bursty", false, false},    {"ten-percent", true, true},
    {"gaps", true, true},   {"replacements", true, true}, {"near-idle", false, false}, {"all", false, true, 0, 0, 0},
};

// Whether all bounds hold; what does not is printed. Written so that what is not a number fails.
bool holds(const std::string& name, const Tally& tally) {
  const auto reached =
      std::find_if(std::begin(kReached), std::end(kReached), [&](const Reached& each) { return name == each.name; });
  if (reached == std::end(kReached) || tally.at14.empty()) {
    std::printf("%s: nothing to judge\n", name.c_str());
    return false;
  }
  const Figures figures = figures_of(tally);
  bool all = true;
  const auto want = [&](const char* what, double figure, double least, double most) {
    if (figure >= least && figure <= most) return;
    std::printf("%s: %s is %.1f, wanted %.1f to %.1f\n", name.c_str(), what, figure, least, most);
    all = false;
  };
  want("none%", figures.none, 0, 1);  // or the rest would judge only what is easy
  want("within%", figures.within, 75 - reached->within_slack, 88 + reached->within_slack);
  if (reached->error) want("error%", figures.error, 0, 15 + reached->error_slack);
  if (reached->gain) want("gain%", figures.gain, 30 - reached->gain_slack, 100);
  return all;
}

}  // namespace

int main(int argc, char** argv) {
  std::uint64_t first = 1, last = 12;
  int devices = 8, every = 17;
  std::string only;
  const bool check = argc > 1 && std::strcmp(argv[1], "--check") == 0;
  if (check) last = 4, every = 34;
  for (int i = check ? 2 : 1; i < argc; i += 2) {
    const std::string option = argv[i];
    if (i + 1 == argc) {
      std::fprintf(stderr, "forecast_quality: '%s' has no value\n", argv[i]);
      return 2;
    } else if (option == "--seeds") {
      char* rest = nullptr;
      first = last = std::strtoull(argv[i + 1], &rest, 10);
      if (*rest == '-') last = std::strtoull(rest + 1, nullptr, 10);
    } else if (option == "--devices") {
      devices = std::atoi(argv[i + 1]);
    } else if (option == "--every") {
      every = std::max(1, std::atoi(argv[i + 1]));
    } else if (option == "--regime") {
      only = argv[i + 1];
    } else {
      std::fprintf(stderr, "forecast_quality: no option '%s'\n", argv[i]);
      return 2;
    }
  }
  std::printf("seeds %llu to %llu, %d devices each, forecasts every %d days from day 30 to %d\n",
              static_cast<unsigned long long>(first), static_cast<unsigned long long>(last), devices, every,
              kLastOrigin);
  std::printf("%-13s %7s %6s %8s %5s %5s %5s %5s %5s %6s %7s %7s %7s %7s %7s\n", "regime", "made", "none%", "within%",
              "less%", "more%", "<90d", "<380d", "later", "at 14d", "error%", "line%", "gain%", "bias%", "best%");
  Tally all;
  bool good = true;
  for (const bench::Regime& regime : bench::regimes()) {
    if (!only.empty() && regime.name != only) continue;
    Tally tally;
    for (std::uint64_t seed = first; seed <= last; ++seed) run_site(regime, seed, devices, every, tally);
    print(regime.name, tally);
    if (check) good = holds(regime.name, tally) && good;
    std::fflush(stdout);
    all.at14.insert(all.at14.end(), tally.at14.begin(), tally.at14.end());
    all.naive14.insert(all.naive14.end(), tally.naive14.begin(), tally.naive14.end());
    all.best14.insert(all.best14.end(), tally.best14.begin(), tally.best14.end());
    all.signed14.insert(all.signed14.end(), tally.signed14.begin(), tally.signed14.end());
    all.within += tally.within;
    all.below += tally.below;
    all.above += tally.above;
    all.without += tally.without;
    all.known += tally.known;
    for (int age = 0; age < 3; ++age) {
      all.made[age] += tally.made[age];
      all.hit[age] += tally.hit[age];
    }
  }
  print("all", all);
  if (check && only.empty()) good = holds("all", all) && good;
  if (check && all.known == 0) good = false;
  return good ? 0 : 1;
}
