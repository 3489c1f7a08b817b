#include "daemon/upkeep/told_history.h"

#include <map>
#include <optional>
#include <utility>

#include "daemon/upkeep/spans.h"
#include "probes/model/designation.h"

namespace frisket::upkeep {
namespace {

bool same_kind(const SupplyStated& a, const SupplyStated& b) {
  return a.type == b.type && a.supply_class == b.supply_class && a.colorant == b.colorant;
}

class Teller {
 public:
  void take(const Change& change) {
    at_ = change.at;
    if (!told_.begin) told_.begin = at_;
    std::visit([this](const auto& what) { tell(what); }, change.what);
  }

  ToldHistory end() {
    if (lost_) told_.history.counter.unobserved.push_back({*lost_, WallTime::max()});
    for (auto& [index, supply] : supplies_) {
      supply.told.part = model::part_number_in(supply.told.what.description);
      supply.history.supply_class = supply.told.what.supply_class;
      supply.history.part = supply.told.part;
      told_.history.supplies.push_back(std::move(supply.history));
      told_.supplies.push_back(std::move(supply.told));
    }
    if (!told_.colour.samples.empty()) {
      if (colour_lost_) colour_gaps_.push_back({*colour_lost_, WallTime::max()});
      const auto& gaps = told_.history.counter.unobserved;
      colour_gaps_.insert(colour_gaps_.end(), gaps.begin(), gaps.end());
      told_.colour.unobserved = joined(std::move(colour_gaps_), kAllTime);
      told_.colour.board_changes = told_.history.counter.board_changes;
    }
    return std::move(told_);
  }

 private:
  struct Supply {
    ToldSupply told;
    SupplyHistory history;
  };

  void tell(const CountChange& count) {
    told_.history.counter.samples.push_back({at_, count.count, count.thinned});
    if (count.colour) {
      if (colour_lost_) colour_gaps_.push_back({*colour_lost_, at_});
      colour_lost_.reset();
      told_.colour.samples.push_back({at_, *count.colour, count.thinned});
    } else if (!told_.colour.samples.empty() && !colour_lost_) {
      colour_lost_ = told_.colour.samples.back().at;
    }
  }

  void tell(const LevelChange& level) {
    auto& supply = supplies_[level.supply];
    supply.told.stated_at = at_;
    auto& samples = supply.history.samples;
    if (!samples.empty() && samples.back().level == level.level && samples.back().capacity == level.capacity) return;
    samples.push_back({at_, level.level, level.capacity, std::nullopt, heard_ == at_});
  }

  void tell(const SupplyStated& stated) {
    auto [entry, fresh] = supplies_.try_emplace(stated.supply);
    auto& supply = entry->second;
    if (!fresh && !same_kind(supply.told.what, stated)) supply.history.samples.clear();
    supply.told.what = stated;
    supply.told.stated_at = at_;
  }

  void tell(const SerialStated& stated) {
    if (!told_.serial.empty() && told_.serial != stated.serial) told_.history.counter.board_changes.push_back(at_);
    told_.serial = stated.serial;
  }

  void tell(const Lost&) {
    if (!lost_) lost_ = at_;
  }

  void tell(const Heard&) {
    heard_ = at_;
    if (lost_ && *lost_ < at_) told_.history.counter.unobserved.push_back({*lost_, at_});
    lost_.reset();
  }

  ToldHistory told_;
  std::map<std::int32_t, Supply> supplies_;
  WallTime at_{};
  std::optional<WallTime> lost_;
  std::optional<WallTime> heard_;
  // The device prints and no longer tells what was in colour, as when it is no longer asked over IPP: since the last
  // count that it told, and in all.
  std::optional<WallTime> colour_lost_;
  std::vector<Span> colour_gaps_;
};

}  // namespace

ToldHistory told_history(std::span<const Change> changes) {
  Teller teller;
  for (const auto& change : changes) teller.take(change);
  return teller.end();
}

}  // namespace frisket::upkeep
