// A simulated site whose truth is known: what will be printed, and when each cartridge runs out.
//
// Nothing here knows how the forecasts work. A regime says how an office prints and how a device
// reports; a seed makes one site of it. The histories that come out are what a store would
// hold; the truth is read from the simulation's own future.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "daemon/upkeep/calendar.h"
#include "daemon/upkeep/history.h"

namespace bench {

using frisket::upkeep::Calendar;
using frisket::upkeep::LocalDay;
using frisket::upkeep::WallTime;

struct Regime {
  std::string name;
  double day_scatter = 0.30;  // coefficient of variation of a day's use
  double burst_per_day = 0;   // chance on a working day of one that is 3 to 8 times as busy
  bool terms = false;         // a year with quiet and busy months, shared by the site
  double gauge_step = 1;      // percent
  double gaps_per_day = 0;    // chance that the device goes unobserved for 1 to 10 days
  bool swaps = false;         // replaced early, by partly used ones too; shaken
  double print_chance = 1;    // chance that a working day sees any use at all
  double typical_use = 120;   // median over devices, impressions per working day
};

std::vector<Regime> regimes();

// One cartridge's time in the device. It would have run out at `empty` had it stayed in.
struct Stay {
  WallTime in;
  WallTime out;
  WallTime empty;
  bool empty_known = false;  // runs out within the simulated time
  // Days left at 14 days before `empty`, to somebody who knows exactly what is left, and the mean of
  // every day to come, and lacks only what is chance. No forecast can do better.
  double best_guess = 0;
};

struct SimulatedDevice {
  frisket::upkeep::CounterHistory counter;
  frisket::upkeep::SupplyHistory supply;  // without impressions: the store joins them
  std::vector<Stay> stays;
};

struct Site {
  std::vector<SimulatedDevice> devices;
  WallTime begin;
  int days = 0;
};

const Calendar& calendar();
Site simulate(const Regime& regime, std::uint64_t seed, int devices, int days);

}  // namespace bench
