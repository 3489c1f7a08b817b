// How many percent of a supply one impression takes, and how sure that is.
//
// The slope of each cartridge is Theil-Sen's through its falls. Cartridges of one device differ
// (fill, content printed), so the present slope is a running estimate over the cartridges, in
// logarithms: each new one is drawn towards those before it as far as their scatter allows, and
// a new device starts from the fleet's figure for the part number, if there is one. Pure.
#pragma once

#include <optional>
#include <span>

#include "daemon/upkeep/segments.h"

namespace frisket::upkeep {

// What is known of a part number from the whole fleet: logarithm of percent per impression.
struct PartPrior {
  double log_rate = 0;
  double deviation = 0;  // between devices
  int devices = 0;
};

struct Consumption {
  double per_impression = 0;  // percent
  double log_variance = 0;    // of the estimate
  double block_variance = 0;  // relative, of the impressions that 10 % last
  double edge = 0.5;          // where in its step the true level is right after a fall: 0 lower end, 1 upper
  double edge_variance = 1.0 / 12;
  double seen = 0;         // percent consumed under observation, over all cartridges
  bool from_part = false;  // the fleet's figure carries most of it
};

// Nothing where less than `least` percent (or one step) have been seen consumed and there is no prior.
std::optional<Consumption> consumption_of(const LevelSeries& series, const std::optional<PartPrior>& prior,
                                          double least = 3);

// From the devices' own figures (without prior), at least three of them.
std::optional<PartPrior> part_prior(std::span<const Consumption> of_devices);

}  // namespace frisket::upkeep
