#include "daemon/upkeep/recorder.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "probes/model/identity.h"

namespace frisket::upkeep {
namespace {

using namespace std::chrono_literals;
using model::WallTime;

// Common sense, no source: finer is of no use to any figure, and costs room (docs/store.md).
constexpr auto kGrain = 15min;
constexpr std::uint32_t kImpressions = 50;
constexpr std::int32_t kFineCapacity = 200;  // units: one unit of a smaller one is half a percent or more
constexpr double kLeastMove = 0.5;           // percent
constexpr double kFarMove = 2;               // percent

WallTime whole_seconds(WallTime at) { return std::chrono::floor<std::chrono::seconds>(at); }

SupplyStated stated_of(const model::Supply& supply) {
  return {supply.index, supply.supply_class, supply.type, supply.colorant, supply.description};
}

enum class Move { none, small, far };

Move move_of(const LevelChange& from, const LevelChange& to) {
  if (from == to) return Move::none;
  if (from.capacity != to.capacity || from.level.index() != to.level.index()) return Move::far;
  const auto before = amount_of(from.level);
  const auto now = amount_of(to.level);
  if (!before || !now || *now == 0) return Move::far;
  const auto capacity = amount_of(to.capacity).value_or(0);
  if (capacity <= 0) return Move::small;
  const double percent = 100.0 * std::abs(static_cast<double>(*now) - *before) / capacity;
  if (percent >= kFarMove) return Move::far;
  return percent >= kLeastMove || capacity <= kFineCapacity ? Move::small : Move::none;
}

}  // namespace

Changes Recorder::take(const model::DeviceReading& reading) {
  Changes changes;
  const auto at = whole_seconds(reading.at);
  auto [entry, fresh] = known_.try_emplace(reading.device);
  Device& device = entry->second;
  if (fresh && watched_until_ && *watched_until_ <= at) {
    device.heard = whole_seconds(*watched_until_);
    device.restart = true;
  }
  if (device.heard && at < *device.heard) return changes;
  lose(device, at, changes);
  if (!fresh) device.apart = std::min<model::Milliseconds>(at - device.asked, 24h);
  device.asked = at;
  if (reading.reach != model::Reach::answered || !reading.snapshot) return changes;
  hear(device, at, changes);
  const bool heard_again = !changes.empty();
  const bool restate = !device.stated_at || at - *device.stated_at >= kRestatedEvery;
  if (reading.snapshot == device.snapshot && !device.holds_back() && !restate && !heard_again) return changes;
  const auto& said = *reading.snapshot;
  device.snapshot = reading.snapshot;
  const auto serial = model::identity_of(said).serial;
  if (!serial.empty() && (restate || serial != device.serial)) changes.push_back({at, SerialStated{serial}});
  if (!serial.empty()) device.serial = serial;
  Changes levels;
  const bool level_kept = take_supplies(device, said, at, restate, levels);
  device.colour = said.colour_impressions;
  if (const auto count = said.impressions())
    take_count(device, static_cast<std::uint32_t>(*count), at, level_kept || restate || heard_again, changes);
  std::ranges::move(levels, std::back_inserter(changes));
  if (restate) device.stated_at = at;
  return changes;
}

model::Milliseconds Recorder::Device::patience() const { return std::max<model::Milliseconds>(kGrain, 3 * apart); }

// If nobody has heard it for so long.
void Recorder::lose(Device& device, WallTime at, Changes& changes) {
  if (!device.heard || device.is_lost || at - *device.heard < device.patience()) return;
  if (device.holds_back()) keep_count(device, *device.heard, changes);
  changes.push_back({*device.heard, Lost{}});
  device.is_lost = true;
}

void Recorder::hear(Device& device, WallTime at, Changes& changes) {
  // After a start nobody knows whether it was lost before.
  const bool first = device.restart && !device.stated_at;
  if (device.is_lost || first) changes.push_back({at, Heard{}});
  device.is_lost = false;
  device.heard = at;
}

void Recorder::keep_count(Device& device, WallTime at, Changes& changes) {
  changes.push_back({at, CountChange{*device.count, true, device.colour}});
  device.kept_count = device.count;
  device.kept_at = at;
}

void Recorder::take_count(Device& device, std::uint32_t count, WallTime at, bool must, Changes& changes) {
  const auto before = std::exchange(device.count, count);
  if (device.kept_count) {
    const bool due = at - device.kept_at >= kGrain || count - *device.kept_count >= kImpressions;
    if (!must && (count == *device.kept_count || !due)) return;
  }
  const bool other_run = !device.kept_count && device.restart;
  changes.push_back({at, CountChange{count, other_run || before != device.kept_count, device.colour}});
  device.kept_count = count;
  device.kept_at = at;
}

bool Recorder::take_supplies(Device& device, const model::DeviceSnapshot& said, WallTime at, bool restate,
                             Changes& changes) {
  for (const auto& row : said.supplies) {
    const LevelChange now{row.index, row.level, row.max_capacity};
    auto [entry, fresh] = device.supplies.try_emplace(row.index);
    Supply& supply = entry->second;
    auto stated = stated_of(row);
    const bool another = fresh || stated != supply.stated;
    if (another || restate) changes.push_back({at, stated});
    supply.stated = std::move(stated);
    const auto move = another ? Move::far : move_of(supply.kept, now);
    const bool due = move == Move::far || (move == Move::small && at - supply.kept_at >= kGrain);
    if (!due && !restate) continue;
    changes.push_back({at, now});
    supply.kept = now;
    supply.kept_at = at;
  }
  std::erase_if(device.supplies, [&](const auto& entry) {
    return std::ranges::find(said.supplies, entry.first, &model::Supply::index) == said.supplies.end();
  });
  return !changes.empty();
}

std::map<std::string, Changes> Recorder::flush() {
  std::map<std::string, Changes> all;
  for (auto& [name, device] : known_)
    if (device.holds_back() && device.heard) keep_count(device, *device.heard, all[name]);
  return all;
}

}  // namespace frisket::upkeep
