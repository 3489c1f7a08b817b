#include "daemon/service/upkeep_setup.h"

#include <algorithm>
#include <map>
#include <utility>

#include "daemon/incidents/running_out.h"
#include "probes/model/identity.h"

namespace frisket::service {
namespace {

constexpr std::chrono::years kAround{3};

int year_of(model::WallTime now) {
  return static_cast<int>(std::chrono::year_month_day{std::chrono::floor<std::chrono::days>(now)}.year());
}

upkeep::Calendar calendar_of(const config::Site& site, model::WallTime now) {
  std::vector<upkeep::LocalDay> days;
  std::vector<std::chrono::month_day> each_year;
  for (const auto& holiday : site.holidays) {
    if (holiday.year)
      days.push_back(upkeep::LocalDay{*holiday.year / holiday.day.month() / holiday.day.day()});
    else
      each_year.push_back(holiday.day);
  }
  const int around = static_cast<int>(kAround.count());
  const auto repeated = upkeep::yearly(each_year, year_of(now) - around, year_of(now) + around);
  days.insert(days.end(), repeated.begin(), repeated.end());
  if (auto calendar = upkeep::Calendar::of(site.time_zone, days)) return std::move(*calendar);
  return *upkeep::Calendar::of("UTC", std::move(days));  // a machine without zone data; --check says so
}

upkeep::Supplier supplier_of(const config::Supplier& supplier) {
  return {supplier.name, supplier.lead_days, supplier.review_days, supplier.service_level};
}

upkeep::Part part_of(const config::Part& part, const config::Config& config) {
  upkeep::Part known{part.number, part.maker,     part.description,    part.colorant,
                     {},          part.pack_size, part.shelf_life_days};
  const auto supplier = std::ranges::find(config.suppliers, part.supplier, &config::Supplier::name);
  if (supplier != config.suppliers.end()) known.supplier = supplier_of(*supplier);
  return known;
}

upkeep::ServiceTask task_of(const config::Task& task) {
  upkeep::ServiceTask known;
  known.key = task.name;
  known.title = task.title;
  if (task.every_impressions) known.every_impressions = *task.every_impressions;
  known.every_days = task.every_days;
  known.minutes = task.minutes;
  known.cautions = {"The maker's manual, local rules and qualified service come first."};
  return known;
}

bool is_for(const config::Task& task, const std::string& device, const std::string& model) {
  if (task.devices.empty() && task.models.empty()) return true;
  return std::ranges::find(task.devices, device) != task.devices.end() ||
         (!model.empty() && std::ranges::find(task.models, model) != task.models.end());
}

// Devices for which the same is configured share their tasks.
class TaskLists {
 public:
  explicit TaskLists(const config::Config& config) : config_(config) {}

  upkeep::Tasks of(const config::Device& device, const std::string& model, upkeep::Marking marking) {
    std::pair<upkeep::Marking, std::vector<bool>> key{marking, {}};
    for (const auto& task : config_.tasks) key.second.push_back(is_for(task, device.name, model));
    auto& list = lists_[key];
    if (!list)
      list = std::make_shared<const std::vector<upkeep::ServiceTask>>(tasks_for(config_, device, model, marking));
    return list;
  }

 private:
  const config::Config& config_;
  std::map<std::pair<upkeep::Marking, std::vector<bool>>, upkeep::Tasks> lists_;
};

std::map<std::string, std::vector<upkeep::TaskDone>> done_by_device(const upkeep::Books& books) {
  std::map<std::string, std::vector<upkeep::TaskDone>> found;
  for (const auto& done : books.done) found[done.device].push_back({done.task, done.at, done.by, 0, std::nullopt});
  return found;
}

}  // namespace

std::vector<upkeep::ServiceTask> tasks_for(const config::Config& config, const config::Device& device,
                                           const std::string& model, upkeep::Marking marking) {
  const auto defaults = upkeep::default_tasks(marking);
  std::vector<upkeep::ServiceTask> tasks(defaults.begin(), defaults.end());
  for (const auto& configured : config.tasks) {
    if (!is_for(configured, device.name, model)) continue;
    auto task = task_of(configured);
    const auto built_in = std::ranges::find(tasks, task.key, &upkeep::ServiceTask::key);
    if (built_in == tasks.end()) {
      tasks.push_back(std::move(task));
      continue;
    }
    task.cautions = built_in->cautions;
    task.steps = built_in->steps;
    *built_in = std::move(task);
  }
  return tasks;
}

upkeep::Marking marking_of(const model::DeviceSnapshot& snapshot) {
  using model::MarkTech;
  using upkeep::Marking;
  for (const auto& marker : snapshot.markers) {
    const auto tech = marker.mark_tech;
    if (tech >= MarkTech::electrophotographic_led && tech <= MarkTech::electrophotographic_other) return Marking::toner;
    if (tech >= MarkTech::inkjet_aqueous && tech <= MarkTech::inkjet_other) return Marking::ink;
    if (tech >= MarkTech::thermal_transfer && tech <= MarkTech::thermal_other) return Marking::thermal;
    if (tech > MarkTech::unknown) return Marking::other;
  }
  return upkeep::is_inkjet(supplies_of(snapshot, {})) ? Marking::ink : Marking::toner;
}

std::vector<upkeep::SupplyNow> supplies_of(const model::DeviceSnapshot& snapshot,
                                           const std::vector<incidents::Condition>& conditions) {
  std::vector<upkeep::SupplyNow> supplies;
  for (const auto& supply : snapshot.supplies)
    supplies.push_back({supply.type, incidents::is_running_out(supply.index, conditions),
                        model::percent_of(supply.level, supply.max_capacity)});
  return supplies;
}

std::shared_ptr<const upkeep::OutlookSetup> outlook_setup(const config::Config& config, const SnapshotOf& snapshot_of,
                                                          const upkeep::Books& books, model::WallTime now) {
  auto setup = std::make_shared<upkeep::OutlookSetup>();
  for (const auto& site : config.sites) setup->calendars.emplace(site.name, calendar_of(site, now));
  for (const auto& part : config.parts) setup->parts[part.number] = part_of(part, config);
  setup->stock = books.stock;
  const auto done = done_by_device(books);
  TaskLists lists(config);
  for (const auto& device : config.devices) {
    const auto* snapshot = snapshot_of(device.name);
    const auto identity = snapshot == nullptr ? model::Identity{} : model::identity_of(*snapshot);
    const auto marking = snapshot == nullptr ? upkeep::Marking::toner : marking_of(*snapshot);
    upkeep::OutlookDevice known{device.name, device.site, identity, lists.of(device, identity.model, marking), {}};
    if (const auto found = done.find(device.name); found != done.end()) known.tasks_done = found->second;
    setup->devices.push_back(std::move(known));
  }
  std::ranges::sort(setup->devices, {}, &upkeep::OutlookDevice::name);
  return setup;
}

}  // namespace frisket::service
