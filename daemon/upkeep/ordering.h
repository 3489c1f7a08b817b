// What to order, how many, and by when: reorder points over lead time and review period.
//
// Demand for a part over a stretch of time comes from the depletion forecasts of the devices that
// use it: the chance that each empties one cartridge in that stretch, and then a next one. Stock
// on the shelf and on order is set against the demand that will not be exceeded with the wanted
// service level. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/depletion.h"

namespace frisket::upkeep {

// How a part is bought. Defaults are common practice, no source.
struct Supplier {
  std::string name;
  int lead_days = 5;
  int review_days = 7;          // orders are placed this often
  double service_level = 0.95;  // chance not to run out before the next delivery that can help
};

struct Part {
  std::string number;
  std::string maker;
  std::string description;  // "toner cartridge"
  std::string colorant;
  Supplier supplier;
  int pack_size = 1;
  std::optional<int> shelf_life_days;
};

struct Stock {
  int on_shelf = 0;
  int on_order = 0;
  friend bool operator==(const Stock&, const Stock&) = default;
};

// One supply in one device that takes this part.
struct PartUse {
  std::string device;
  DepletionForecast forecast;
  // How long a whole new one is expected to last, in days, and the relative deviation of that.
  std::optional<double> whole_lasts;
  double whole_deviation = 0.3;
};

// Number of the part wanted within `days` from now.
struct Demand {
  double mean = 0;
  double variance = 0;
  int quantile(double p) const;  // 0 < p < 1
};
Demand demand_within(std::span<const PartUse> uses, WallTime now, double days);

struct OrderLine {
  Part part;
  Stock stock;
  int wanted = 0;                     // to order now; 0: none, and the line tells why
  int reorder_at = 0;                 // stock (shelf and order) at or under which to order
  Demand until_next;                  // demand over lead time and review period
  std::optional<WallTime> first_out;  // the first supply that takes it is expected to be used up
  std::optional<WallTime> order_by;   // at the latest, so that the first device that would go without does not
  std::vector<std::string> devices;   // whose supplies fall due in that time, the first one first
  std::vector<std::string> undated;   // use the part, but have no date: look at them
  std::string why;                    // one sentence with the figures
};

// One line per part that is used or stocked. `uses` of part i at index i. Lines with something to
// order come first, the most pressing one first.
struct PartDemand {
  Part part;
  Stock stock;
  std::vector<PartUse> uses;
};
std::vector<OrderLine> order_list(std::span<const PartDemand> parts, WallTime now);

}  // namespace frisket::upkeep
