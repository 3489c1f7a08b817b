// From the readings of the fleet to what is kept of it: changes only, and not finer than anybody needs.
//
// - A count: 15 minutes or 50 impressions after the one before, at the first page after an idle time, and beside every
//   level.
// - A level: when it moved by half a percent of a large capacity, and not oftener than every 15 minutes unless by two
// percent.
// - A device that is not heard for 15 minutes is lost since it was last heard: silent, not asked, the daemon stopped.
// Where it
//   is asked less often, three times as long as between the last two times.
// - Everything is restated after a start and every four weeks, so that the old can be forgotten.
// One thread.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>

#include "daemon/upkeep/change.h"
#include "probes/model/reading.h"

namespace frisket::upkeep {

inline constexpr std::chrono::weeks kRestatedEvery{4};

class Recorder {
 public:
  // `watched_until`: when the daemon before this one still watched; nothing: there was none.
  explicit Recorder(std::optional<model::WallTime> watched_until = std::nullopt) : watched_until_(watched_until) {}

  // Of one device in order of time; a clock that was set back is not followed.
  Changes take(const model::DeviceReading& reading);

  // The counts that are still held back, by device: before a stop.
  std::map<std::string, Changes> flush();

  // Devices that are no longer configured.
  void forget(const std::string& device) { known_.erase(device); }

 private:
  struct Supply {
    SupplyStated stated;
    LevelChange kept;
    model::WallTime kept_at;
  };
  struct Device {
    std::shared_ptr<const model::DeviceSnapshot> snapshot;
    std::optional<model::WallTime> heard;
    model::WallTime asked;        // answered or not
    model::Milliseconds apart{};  // the last two times that it was asked
    bool is_lost = false;
    std::optional<model::WallTime> stated_at;  // nothing: not since the start
    std::optional<std::uint32_t> count;        // of the last reading
    std::optional<std::uint32_t> colour;       // likewise
    std::optional<std::uint32_t> kept_count;
    model::WallTime kept_at;
    bool restart = false;  // the counts before are of another run
    std::map<std::int32_t, Supply> supplies;
    std::string serial;

    bool holds_back() const { return count != kept_count; }
    model::Milliseconds patience() const;
  };

  static void lose(Device& device, model::WallTime at, Changes& changes);
  static void hear(Device& device, model::WallTime at, Changes& changes);
  static void keep_count(Device& device, model::WallTime at, Changes& changes);
  static void take_count(Device& device, std::uint32_t count, model::WallTime at, bool must, Changes& changes);
  static bool take_supplies(Device& device, const model::DeviceSnapshot& said, model::WallTime at, bool restate,
                            Changes& changes);

  std::optional<model::WallTime> watched_until_;
  std::map<std::string, Device> known_;
};

}  // namespace frisket::upkeep
