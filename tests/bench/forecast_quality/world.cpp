#include "world.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

namespace bench {
namespace {

using namespace std::chrono_literals;
using frisket::upkeep::LevelSample;
using frisket::upkeep::Milliseconds;
using Random = std::mt19937_64;

constexpr int kSlots = 8;  // a working day in pieces, 8:00 to 16:00
const LocalDay kFirst{std::chrono::year{2023} / std::chrono::January / 2};

double uniform(Random& random, double from, double to) { return std::uniform_real_distribution<>(from, to)(random); }
double normal(Random& random, double deviation) { return std::normal_distribution<>(0, deviation)(random); }
bool chance(Random& random, double p) { return uniform(random, 0, 1) < p; }

// Terms of a teaching garden: relative use by day of the year, starts shifting a little every year.
std::vector<double> year_course(Random& random, int days) {
  struct Part {
    int from, to;
    double factor;
  };
  std::vector<double> course(static_cast<std::size_t>(days), 1.0);
  const double quiet = uniform(random, 0.25, 0.5);
  const double busy = uniform(random, 1.2, 1.6);
  for (int year = 0; year * 365 < days; ++year) {
    const int shift = static_cast<int>(std::lround(normal(random, 4)));
    const std::array<Part, 4> parts{{{120, 165, busy}, {180, 250, quiet}, {268, 330, 1.15}, {350, 372, 0.6}}};
    for (const Part& part : parts) {
      for (int day = part.from + shift; day < part.to + shift; ++day) {
        const int index = year * 365 + day;
        if (index >= 0 && index < days) course[static_cast<std::size_t>(index)] = part.factor;
      }
    }
  }
  return course;
}

// What a device does in one slot of one day.
struct Slot {
  WallTime at;
  std::int64_t impressions = 0;
  double consumed = 0;  // percent of a nominal cartridge
  double expected = 0;  // of it, before chance
};

class DeviceStory {
 public:
  DeviceStory(const Regime& regime, const std::vector<double>& course, Random& random)
      : regime_(regime), course_(course), random_(random) {}

  std::vector<Slot> print(int days) {
    const double typical = regime_.typical_use * std::exp(normal(random_, 0.6));
    std::array<double, 7> week{1.05, 1.1, 1.05, 1.0, 0.8, 0.06, 0.03};
    for (double& weight : week) weight *= std::exp(normal(random_, 0.15));
    const double cartridge_days = uniform(random_, 35, 120);
    const double yield = typical * regime_.print_chance * 5.0 / 7.0 * cartridge_days;
    std::vector<Slot> slots;
    double drift = 0;
    double content = 0;
    for (int day = 0; day < days; ++day) {
      const LocalDay date = kFirst + std::chrono::days{day};
      const int weekday = frisket::upkeep::weekday_of(date);
      if (weekday == 0) {
        drift = 0.97 * drift + normal(random_, 0.03);      // people come and go
        content = 0.95 * content + normal(random_, 0.03);  // and print other things
      }
      double mean = typical * week[static_cast<std::size_t>(weekday)] * std::exp(drift);
      if (calendar().holiday(date)) mean *= 0.04;
      mean *= course_[static_cast<std::size_t>(day)];
      double expected = mean * regime_.print_chance;
      if (weekday < 5) expected += regime_.burst_per_day * typical * 5.5;
      if (!chance(random_, regime_.print_chance)) mean = 0;
      const double shape = 1 / (regime_.day_scatter * regime_.day_scatter);
      if (mean > 0) mean *= std::gamma_distribution<>(shape, 1 / shape)(random_);
      if (weekday < 5 && chance(random_, regime_.burst_per_day)) mean += typical * uniform(random_, 3, 8);
      const double coverage = 100 / yield * std::exp(content + normal(random_, 0.2));
      add_day(date, mean, coverage, slots);
      for (std::size_t i = slots.size() - kSlots; i < slots.size(); ++i) {
        slots[i].expected = expected / kSlots * 100 / yield * std::exp(content + 0.02);
      }
    }
    return slots;
  }

 private:
  void add_day(LocalDay date, double mean, double coverage, std::vector<Slot>& slots) {
    const std::size_t first = slots.size();
    const WallTime start = calendar().start_of(date);
    for (int slot = 0; slot < kSlots; ++slot) slots.push_back({start + std::chrono::hours{8 + slot} + 23min, 0, 0, 0});
    const int jobs = mean > 0 ? std::poisson_distribution<>(mean / 5)(random_) : 0;
    for (int job = 0; job < jobs; ++job) {
      auto& slot = slots[first + std::uniform_int_distribution<std::size_t>(0, kSlots - 1)(random_)];
      const int pages = 1 + std::geometric_distribution<>(0.2)(random_);
      slot.impressions += pages;
      slot.consumed += pages * coverage * std::gamma_distribution<>(2, 0.5)(random_);
    }
  }

  const Regime& regime_;
  const std::vector<double>& course_;
  Random& random_;
};

// The cartridges, and what the device says of them.
class Gauge {
 public:
  Gauge(const Regime& regime, Random& random) : regime_(regime), random_(random) {
    rounding_ = std::uniform_int_distribution<>(0, 2)(random);
  }

  int reported(double percent) const {
    const double steps = percent / regime_.gauge_step;
    const double whole = rounding_ == 0 ? std::floor(steps) : rounding_ == 1 ? std::ceil(steps) : std::round(steps);
    return static_cast<int>(std::clamp(whole * regime_.gauge_step, 0.0, 100.0));
  }

  SimulatedDevice live(const std::vector<Slot>& slots) {
    SimulatedDevice device;
    std::vector<double> nominal(slots.size() + 1, 0);  // consumption added up
    for (std::size_t i = 0; i < slots.size(); ++i) nominal[i + 1] = nominal[i] + slots[i].consumed;
    std::uint32_t count = std::uniform_int_distribution<std::uint32_t>(1000, 400000)(random_);
    double left = uniform(random_, 20, 100);
    double factor = std::exp(normal(random_, 0.05));
    double leave_at = leaves_at();
    double shaken = 0;
    open(device, slots, nominal, 0, left, factor);
    WallTime blind_until = slots.front().at;
    bool blind = false;
    int said = -1;
    std::uint32_t said_count = count;
    for (std::size_t i = 0; i < slots.size(); ++i) {
      const Slot& slot = slots[i];
      count += static_cast<std::uint32_t>(slot.impressions);
      left -= slot.consumed * factor;
      if (left <= leave_at) {
        device.stays.back().out = slot.at;
        left = regime_.swaps && chance(random_, 0.15) ? uniform(random_, 40, 90) : 100;
        factor = std::exp(normal(random_, 0.05));
        leave_at = leaves_at();
        open(device, slots, nominal, i + 1, left, factor);
      }
      if (regime_.swaps && chance(random_, 0.002)) shaken = uniform(random_, -2, 2);
      if (!blind && chance(random_, regime_.gaps_per_day / kSlots)) {
        blind = true;
        blind_until = slot.at + std::chrono::hours{24 * std::uniform_int_distribution<>(1, 10)(random_)};
        device.counter.unobserved.push_back({slot.at, blind_until});
      }
      const bool returns = blind && slot.at >= blind_until;
      if (returns) {
        blind = false;
        device.counter.unobserved.back().to = slot.at;
      }
      if (blind) continue;
      const int level = reported(std::clamp(left + shaken, 0.0, 100.0));
      if (said < 0 || count != said_count) device.counter.samples.push_back({slot.at, count, false});
      if (level != said) {
        device.supply.samples.push_back(
            {slot.at, frisket::model::Amount{level}, frisket::model::Amount{100}, std::nullopt, returns});
      }
      said = level;
      said_count = count;
    }
    device.stays.back().out = slots.back().at;
    return device;
  }

 private:
  double leaves_at() { return regime_.swaps && chance(random_, 0.6) ? uniform(random_, 3, 30) : 0.0; }

  static double best_guess(const std::vector<Slot>& slots, const std::vector<double>& nominal, WallTime from,
                           double end) {
    const auto first =
        std::lower_bound(slots.begin(), slots.end(), from, [](const Slot& slot, WallTime at) { return slot.at <= at; });
    double left = end - nominal[static_cast<std::size_t>(first - slots.begin())];
    auto slot = first;
    while (slot != slots.end() && left > 0) left -= (slot++)->expected;
    if (slot == first) return 0;
    return static_cast<double>(((slot - 1)->at - from).count()) / 86400000;
  }

  static void open(SimulatedDevice& device, const std::vector<Slot>& slots, const std::vector<double>& nominal,
                   std::size_t from, double left, double factor) {
    Stay stay;
    stay.in = from < slots.size() ? slots[from].at : slots.back().at;
    const double end = nominal[from] + left / factor;
    const auto after = std::lower_bound(nominal.begin() + static_cast<std::ptrdiff_t>(from), nominal.end(), end);
    stay.empty_known = after != nominal.end();
    if (stay.empty_known) {
      const auto index = static_cast<std::size_t>(after - nominal.begin());
      stay.empty = slots[index == 0 ? 0 : index - 1].at;
      stay.best_guess = best_guess(slots, nominal, stay.empty - std::chrono::hours{14 * 24}, end);
    }
    device.stays.push_back(stay);
  }

  const Regime& regime_;
  Random& random_;
  int rounding_ = 0;
};

}  // namespace

std::vector<Regime> regimes() {
  std::vector<Regime> all(7);
  all[0].name = "steady";
  all[1].name = "seasonal";
  all[1].terms = true;
  all[2].name = "bursty";
  all[2].day_scatter = 0.6;
  all[2].burst_per_day = 1.0 / 30;
  all[3].name = "ten-percent";
  all[3].gauge_step = 10;
  all[4].name = "gaps";
  all[4].gaps_per_day = 1.0 / 25;
  all[5].name = "replacements";
  all[5].swaps = true;
  all[6].name = "near-idle";
  all[6].print_chance = 0.3;
  all[6].typical_use = 15;
  return all;
}

const Calendar& calendar() {
  using namespace std::chrono;
  static const Calendar made =
      Calendar::of("Europe/Dublin",
                   frisket::upkeep::yearly({January / 1, March / 17, May / 1, June / 5, August / 7, October / 30,
                                            December / 24, December / 25, December / 26, December / 27, December / 28,
                                            December / 29, December / 30, December / 31},
                                           2022, 2030))
          .value();
  return made;
}

Site simulate(const Regime& regime, std::uint64_t seed, int devices, int days) {
  Random random(seed * 1000003 + std::hash<std::string>{}(regime.name) % 1000);
  Site site;
  site.begin = calendar().start_of(kFirst);
  site.days = days;
  const std::vector<double> course =
      regime.terms ? year_course(random, days) : std::vector<double>(static_cast<std::size_t>(days), 1.0);
  for (int i = 0; i < devices; ++i) {
    const auto slots = DeviceStory(regime, course, random).print(days);
    site.devices.push_back(Gauge(regime, random).live(slots));
  }
  return site;
}

}  // namespace bench
