// What a watcher would have to look at who follows the alert table and the status as they change, without rules: each
// row that comes or goes, each bit that turns, each subunit whose status changes. From the same polls.
#pragma once

#include <cstdint>
#include <memory>

#include "probes/model/device.h"

namespace frisket::week {

struct RawChanges {
  std::int64_t rows = 0;      // come or gone
  std::int64_t reports = 0;   // of these, rows of severity other or that need nobody, and of warming up
  std::int64_t bits = 0;      // turned
  std::int64_t statuses = 0;  // of a cover, tray, bin, marker or path
  std::int64_t all() const { return rows + bits + statuses; }
  std::int64_t of_troubles() const { return all() - reports; }
};

void count_changes(const model::DeviceSnapshot& before, const model::DeviceSnapshot& after, RawChanges& changes);

}  // namespace frisket::week
