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

struct Clause {
  double share = 0;
  std::optional<WallTime> next;
  std::string why;
};

std::string figure(double value) { return std::to_string(static_cast<std::int64_t>(std::llround(value))); }

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
  for (const TaskDone& entry : done) {
    if (entry.key == task.key && (!status.last || status.last->at < entry.at)) status.last = entry;
  }
  status.never_done = !status.last;
  const WallTime since = status.last ? status.last->at : device.since;
  const double printed = device.impressions - (status.last ? status.last->impressions : device.impressions_since);

  std::vector<Clause> clauses;
  if (task.every_impressions && *task.every_impressions > 0) {
    const double every = *task.every_impressions;
    Clause clause{printed / every, std::nullopt, figure(printed) + " of " + figure(every) + " impressions"};
    clause.next = printed >= every ? std::optional(now) : reached(device.use, every - printed);
    clauses.push_back(clause);
  }
  if (task.every_days && *task.every_days > 0) {
    const double passed = days_between(since, now);
    clauses.push_back({passed / *task.every_days, since + days{*task.every_days},
                       figure(std::floor(passed)) + " of " + std::to_string(*task.every_days) + " days"});
  }
  if (task.every_counts && *task.every_counts > 0 && device.counter) {
    const double counted = *device.counter - (status.last ? status.last->counter.value_or(0) : 0);
    Clause clause{counted / *task.every_counts, std::nullopt,
                  figure(counted) + " of " + figure(*task.every_counts) + " " + task.counter};
    if (clause.share >= 1) clause.next = now;
    clauses.push_back(clause);
  }
  for (const Clause& clause : clauses) {
    status.share = std::max(status.share, clause.share);
    if (clause.next && (!status.next || *clause.next < *status.next)) status.next = clause.next;
    status.why += (status.why.empty() ? "" : ", ") + clause.why;
  }
  status.why += status.last ? " since it was last done" : " since the first reading; not known to have been done";
  if (status.share >= kOverdue) {
    status.due = Due::overdue;
  } else if (status.share >= 1) {
    status.due = Due::due;
  } else if (status.next && *status.next <= now + days{soon_days}) {
    status.due = Due::soon;
  }
  return status;
}

}  // namespace frisket::upkeep
