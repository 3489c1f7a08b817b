#include "daemon/upkeep/service_plan.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/upkeep/cautions.h"
#include "daemon/upkeep/depletion.h"

namespace frisket::upkeep {
namespace {

using std::chrono::days;

constexpr double kOverdue = 1.1;

const std::vector<ServiceTask>& toner_tasks() {
  static const std::vector<ServiceTask> tasks{
      {"feed-rollers",
       "Clean the feed rollers",
       25000,
       365,
       "",
       {},
       10,
       {kManual, kMains, kMoving},
       {"Take the tray out.", "Wipe the rollers with a lint-free cloth, slightly damp with water.",
        "Replace rollers that are smooth or cracked.", "Put the tray back and print one page from it."}},
      {"fuser",
       "Have the fuser replaced",
       150000,
       {},
       "",
       {},
       30,
       {kManual, kMains, kHot},
       {"Leave this to trained people.", "Compare the count with the maker's interval before ordering the part."}},
      {"transfer",
       "Have the transfer unit replaced",
       150000,
       {},
       "",
       {},
       20,
       {kManual, kMains, kToner},
       {"Leave this to trained people.", "Do not touch the belt or roller surface."}},
      {"dust",
       "Clean out dust and stray toner",
       30000,
       365,
       "",
       {},
       15,
       {kManual, kMains, kHot, kToner},
       {"Open the covers.", "Take up loose toner and paper dust.", "Wipe the paper path with a dry lint-free cloth."}},
      {"filter",
       "Clean or replace the ozone or dust filter",
       100000,
       730,
       "",
       {},
       5,
       {kManual, kMains, kToner},
       {"Take out the filter if the device has one.", "Replace it; do not blow it out indoors."}},
  };
  return tasks;
}

const std::vector<ServiceTask>& ink_tasks() {
  static const std::vector<ServiceTask> tasks{
      {"nozzle-check",
       "Print a nozzle check and clean the heads if it shows gaps",
       {},
       30,
       "",
       {},
       10,
       {kManual},
       {"Print the device's nozzle check.", "Only if lines are missing, run one head cleaning: each uses ink.",
        "Check again."}},
      {"alignment",
       "Align the print heads",
       20000,
       365,
       "",
       {},
       10,
       {kManual},
       {"Load plain paper.", "Run the device's alignment and follow its sheet."}},
      {"feed-rollers",
       "Clean the feed rollers",
       25000,
       365,
       "",
       {},
       10,
       {kManual, kMains, kMoving},
       {"Take the tray out.", "Wipe the rollers with a lint-free cloth, slightly damp with water.",
        "Put the tray back and print one page from it."}},
      {"dust",
       "Clean out paper dust",
       30000,
       365,
       "",
       {},
       10,
       {kManual, kMains, kMoving, kAlcohol},
       {"Open the covers.", "Take up paper dust.", "Wipe the paper path with a dry lint-free cloth."}},
  };
  return tasks;
}

const std::vector<ServiceTask>& thermal_tasks() {
  static const std::vector<ServiceTask> tasks{
      {"thermal-head",
       "Clean the thermal head",
       10000,
       90,
       "",
       {},
       5,
       {kManual, kMains, kHotHead, kAlcohol},
       {"Open the head and take the roll out.",
        "Wipe the line of the head with the cleaning pen or the fluid that its maker names, and let it dry.",
        "Print one label: a white line that stays is a dead dot, and the head has to be replaced."}},
      {"platen",
       "Clean the platen roller",
       20000,
       180,
       "",
       {},
       10,
       {kManual, kMains, kHotHead, kMoving},
       {"Turn the roller by hand and wipe off glue and dust with a lint-free cloth.",
        "Replace a roller that is smooth, cut or flattened."}},
      {"dust",
       "Clean out paper dust and glue",
       20000,
       180,
       "",
       {},
       10,
       {kManual, kMains, kHotHead, kMoving},
       {"Open the covers.", "Take up paper dust, also from the gap sensor.",
        "Peel off labels that stick to the path."}},
  };
  return tasks;
}

// What every device that takes sheets wants.
std::span<const ServiceTask> other_tasks() {
  const std::span<const ServiceTask> ink = ink_tasks();
  return ink.last(2);
}

std::string figure(double value) { return std::to_string(static_cast<std::int64_t>(std::llround(value))); }

// The intervals that count.
bool by_impressions(const ServiceTask& task) { return task.every_impressions && *task.every_impressions > 0; }
bool by_days(const ServiceTask& task) { return task.every_days && *task.every_days > 0; }
bool by_counts(const ServiceTask& task, const TaskStatus& status) {
  return task.every_counts && *task.every_counts > 0 && status.counted;
}

// First day on which the forecast's expected total reaches `impressions`.
std::optional<WallTime> reached(const UseForecast* use, double impressions) {
  if (use == nullptr || use->total(use->days()) < impressions) return std::nullopt;
  int low = 0, high = use->days();
  while (high - low > 1) {
    const int middle = (low + high) / 2;
    (use->total(middle) >= impressions ? high : low) = middle;
  }
  return use->end_of(high);
}

}  // namespace

std::span<const ServiceTask> default_tasks(Marking marking) {
  switch (marking) {
    case Marking::toner:
      return toner_tasks();
    case Marking::ink:
      return ink_tasks();
    case Marking::thermal:
      return thermal_tasks();
    case Marking::other:
      break;
  }
  return other_tasks();
}

std::string service_id(const std::string& device, const std::string& task) { return device + ":" + task; }

std::string_view to_text(Due due) {
  constexpr std::array<std::string_view, 4> kNames{"later", "soon", "due", "overdue"};
  return kNames.at(static_cast<std::size_t>(due));
}

TaskStatus status_of(const ServiceTask& task, std::span<const TaskDone> done, const DeviceUse& device, WallTime now,
                     int soon_days) {
  TaskStatus status;
  status.key = task.key;
  const TaskDone* last = nullptr;
  for (const TaskDone& entry : done)
    if (entry.key == task.key && (last == nullptr || last->at < entry.at)) last = &entry;
  if (last != nullptr) status.last = std::make_shared<const TaskDone>(*last);
  const WallTime since = last != nullptr ? last->at : device.since;
  status.impressions = device.impressions - (last != nullptr ? last->impressions : device.impressions_since);
  status.days = days_between(since, now);
  if (device.counter) status.counted = *device.counter - (last != nullptr ? last->counter.value_or(0) : 0);

  const auto runs = [&](double share, std::optional<WallTime> next) {
    status.share = std::max(status.share, share);
    if (next && (!status.next || *next < *status.next)) status.next = next;
  };
  if (by_impressions(task)) {
    const double every = *task.every_impressions;
    runs(status.impressions / every,
         status.impressions >= every ? std::optional(now) : reached(device.use, every - status.impressions));
  }
  if (by_days(task)) runs(status.days / *task.every_days, since + days{*task.every_days});
  if (by_counts(task, status)) {
    const double share = *status.counted / *task.every_counts;
    runs(share, share >= 1 ? std::optional(now) : std::nullopt);
  }
  if (status.share >= kOverdue) {
    status.due = Due::overdue;
  } else if (status.share >= 1) {
    status.due = Due::due;
  } else if (status.next && *status.next <= now + days{soon_days}) {
    status.due = Due::soon;
  }
  return status;
}

std::string why(const TaskStatus& status, const ServiceTask& task) {
  std::string text;
  const auto clause = [&](double run, double every, std::string_view unit) {
    text += (text.empty() ? "" : ", ") + figure(run) + " of " + figure(every) + " " + std::string(unit);
  };
  if (by_impressions(task)) clause(status.impressions, *task.every_impressions, "impressions");
  if (by_days(task)) clause(std::floor(status.days), *task.every_days, "days");
  if (by_counts(task, status)) clause(*status.counted, *task.every_counts, task.counter);
  return text + (status.last ? " since it was last done" : " since the first reading; not known to have been done");
}

}  // namespace frisket::upkeep
