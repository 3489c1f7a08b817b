// [[supplier]], [[part]] and [[task]].
#include <set>

#include "config/sections.h"

namespace frisket::config {
namespace {

std::optional<int> whole_or_nothing(Section& section, std::string_view key) {
  if (!section.has(key)) return std::nullopt;
  return static_cast<int>(section.integer(key));
}

std::vector<std::string> known_devices(Reading& reading, Section& section) {
  std::vector<std::string> devices;
  for (auto& [name, place] : section.list("devices"))
    if (reading.devices.check("task.devices", name, place, reading.findings)) devices.push_back(std::move(name));
  return devices;
}

}  // namespace

std::optional<Holiday> parse_holiday(std::string_view text) {
  const bool each_year = text.size() == 5;
  // 2000 had every day that a year can have.
  const auto moment = parse_local_moment((each_year ? "2000-" : "") + std::string(text) + "T00:00");
  if (!moment) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::floor<std::chrono::days>(*moment)};
  return Holiday{each_year ? std::nullopt : std::optional(date.year()), date.month() / date.day()};
}

std::vector<Holiday> read_holidays(Section& section) {
  std::vector<Holiday> holidays;
  for (const auto& [text, place] : section.list("holidays")) {
    const auto holiday = parse_holiday(text);
    if (holiday)
      holidays.push_back(*holiday);
    else
      section.findings().error(place, section.name() + ".holidays: found " + in_quotes(text) +
                                          ", allowed: a day such as \"2026-12-24\", or \"12-25\" for each year");
  }
  return holidays;
}

std::vector<Supplier> read_suppliers(Reading& reading) {
  std::vector<Supplier> suppliers;
  for (const auto* table : repeated(reading, "supplier")) {
    Section section(*table, "supplier", reading.findings);
    Supplier supplier;
    supplier.name = section.text("name");
    reading.suppliers.add(section, supplier.name);
    supplier.lead_days = static_cast<int>(section.integer("lead_days"));
    supplier.review_days = static_cast<int>(section.integer("review_days"));
    supplier.service_level = section.number("service_level");
    suppliers.push_back(std::move(supplier));
  }
  return suppliers;
}

std::vector<Part> read_parts(Reading& reading) {
  std::vector<Part> parts;
  std::set<std::string> numbers;
  for (const auto* table : repeated(reading, "part")) {
    Section section(*table, "part", reading.findings);
    Part part;
    part.number = section.text("number");
    if (!part.number.empty() && !numbers.insert(part.number).second)
      section.refuse("number", in_quotes(part.number), "a number of its own; another part has it already");
    part.maker = section.text("maker");
    part.description = section.text("description");
    part.colorant = section.text("colorant");
    part.supplier = section.text("supplier");
    if (!part.supplier.empty())
      reading.suppliers.check("part.supplier", part.supplier, section.place("supplier"), reading.findings);
    part.pack_size = static_cast<int>(section.integer("pack_size"));
    part.shelf_life_days = whole_or_nothing(section, "shelf_life_days");
    parts.push_back(std::move(part));
  }
  return parts;
}

std::vector<Task> read_tasks(Reading& reading) {
  std::vector<Task> tasks;
  Names names("task");
  for (const auto* table : repeated(reading, "task")) {
    Section section(*table, "task", reading.findings);
    Task task;
    task.name = section.text("name");
    names.add(section, task.name);
    task.title = section.text("title");
    task.every_impressions = whole_or_nothing(section, "every_impressions");
    task.every_days = whole_or_nothing(section, "every_days");
    if (!section.has("every_impressions") && !section.has("every_days"))
      section.error("name", "has neither every_impressions nor every_days, so it would never be due");
    task.devices = known_devices(reading, section);
    for (auto& [model, place] : section.list("models")) task.models.push_back(std::move(model));
    task.minutes = static_cast<int>(section.integer("minutes"));
    tasks.push_back(std::move(task));
  }
  return tasks;
}

}  // namespace frisket::config
