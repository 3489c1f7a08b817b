// What has to be serviced, and when: tasks by impressions, by days, or by another counter.
//
// A task is due when the first of its intervals has run out since it was last done. The date on
// which impressions will have run out comes from the use forecast. Pure; any thread.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/use_forecast.h"

namespace frisket::upkeep {

struct ServiceTask {
  std::string key;    // "feed-rollers"
  std::string title;  // "Clean or replace the feed rollers"
  std::optional<double> every_impressions;
  std::optional<int> every_days;
  // Of a counter of the device's own (sheets through a tray, hours); its name and the interval.
  std::string counter;
  std::optional<double> every_counts;
  int minutes = 10;
  std::vector<std::string> cautions;  // before the steps
  std::vector<std::string> steps;
};

// How a device marks paper, as far as its service goes.
enum class Marking {
  toner,
  ink,
  thermal,  // labels and receipts: no toner, no fuser
  other,    // impact, pens
};

// Sane intervals for an office device by marking technology: common practice, no source. The
// maker's manual comes first; configuration replaces them. Cautions included.
std::span<const ServiceTask> default_tasks(Marking marking);

struct TaskDone {
  std::string key;
  WallTime at;
  std::string by;
  double impressions = 0;                // counted as DeviceUse's are, by then
  std::optional<double> counter;         // the task's counter then
  std::optional<std::uint32_t> shown{};  // what the device's page counter showed then; nothing: not known
};

struct DeviceUse {
  WallTime since;                 // first known
  double impressions_since = 0;   // count then
  double impressions = 0;         // count now
  std::optional<double> counter;  // of the task asked for
  const UseForecast* use = nullptr;
};

// "herbarium-copier:dust", for a task of one device. Names have no colon.
std::string service_id(const std::string& device, const std::string& task);

enum class Due { later, soon, due, overdue };
std::string_view to_text(Due due);

struct TaskStatus {
  std::string key;
  Due due = Due::later;
  double share = 0;              // of the interval that has run out; 1 is due
  std::optional<WallTime> next;  // expected date on which it is due; past if it is; nothing where unknown
  // Null: not known to have been done; then it is counted from the first reading, as nobody knows better.
  std::shared_ptr<const TaskDone> last;
  // Since then.
  double impressions = 0;
  double days = 0;
  std::optional<double> counted;  // by the device's own counter
};

// The status in words, with the task that it is of: "4900 of 5000 sheets from tray 2 since it was last done". Not
// kept in the status: there are tens of thousands of them, and few are looked at.
std::string why(const TaskStatus& status, const ServiceTask& task);

// soon: due within `soon_days`; overdue: 10 % past its interval.
TaskStatus status_of(const ServiceTask& task, std::span<const TaskDone> done, const DeviceUse& device, WallTime now,
                     int soon_days = 14);

}  // namespace frisket::upkeep
