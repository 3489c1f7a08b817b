#include "watcher.h"

#include <algorithm>

namespace frisket::week {
namespace {

using namespace model;

bool is_report(const Alert& row) {
  return row.severity == AlertSeverity::other || row.training == AlertTraining::no_intervention_required ||
         row.code == AlertCode::subunit_warming_up;
}

// A row that has another index after a restart is another row to the one who watches the table.
void count_missing(const std::vector<Alert>& here, const std::vector<Alert>& there, RawChanges& changes) {
  for (const auto& row : here) {
    if (std::ranges::find(there, row) != there.end()) continue;
    ++changes.rows;
    if (is_report(row)) ++changes.reports;
  }
}

template <class Rows>
std::int64_t different(const Rows& before, const Rows& after) {
  std::int64_t count = 0;
  for (std::size_t i = 0; i < std::min(before.size(), after.size()); ++i)
    if (!(before[i].status == after[i].status)) ++count;
  return count;
}

}  // namespace

void count_changes(const DeviceSnapshot& before, const DeviceSnapshot& after, RawChanges& changes) {
  count_missing(before.alerts, after.alerts, changes);
  count_missing(after.alerts, before.alerts, changes);
  const auto bits_before = before.host.errors.value_or(ErrorBits{});
  const auto bits_after = after.host.errors.value_or(ErrorBits{});
  for (unsigned n = 0; n < 15; ++n)
    if (bits_before.has(static_cast<ErrorBit>(n)) != bits_after.has(static_cast<ErrorBit>(n))) ++changes.bits;
  changes.statuses += different(before.covers, after.covers) + different(before.inputs, after.inputs) +
                      different(before.outputs, after.outputs) + different(before.markers, after.markers) +
                      different(before.media_paths, after.media_paths);
}

}  // namespace frisket::week
