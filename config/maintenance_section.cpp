// [[maintenance]].
#include <algorithm>
#include <array>

#include "config/sections.h"

namespace frisket::config {
namespace {

constexpr std::string_view kMoment = "local date and time, such as \"2026-12-24T18:00\"";
constexpr std::string_view kTime = "a time of the day, such as \"22:00\"";
constexpr std::string_view kDay = "days of \"mon\" to \"sun\"";

std::optional<std::chrono::local_seconds> moment(Section& section, std::string_view key) {
  const auto text = section.text(key);
  if (text.empty()) return std::nullopt;
  const auto moment = parse_local_moment(text);
  if (!moment) section.refuse(key, in_quotes(text), kMoment);
  return moment;
}

std::chrono::minutes time_of_day(Section& section, std::string_view key) {
  const auto text = section.text(key);
  const auto time = parse_time_of_day(text);
  if (!time) section.refuse(key, text.empty() ? "nothing" : in_quotes(text), kTime);
  return time.value_or(std::chrono::minutes{0});
}

void read_once(Section& section, Maintenance& work) {
  work.start = moment(section, "start");
  work.end = moment(section, "end");
  if (!section.has("end")) section.refuse("end", "nothing", kMoment);
  if (work.start && work.end && *work.end <= *work.start)
    section.refuse("end", in_quotes(section.text("end")), "later than start");
  for (const auto* key : {"days", "from", "to"})
    if (section.has(key)) section.error(key, "work that is done once has only start and end");
}

void read_weekly(Section& section, Maintenance& work) {
  if (section.has("end")) section.error("end", "has no start");
  for (const auto& [text, place] : section.list("days")) {
    const auto day = parse_weekday(text);
    if (!day)
      section.findings().error(place, "maintenance.days: found " + in_quotes(text) + ", allowed: " + std::string(kDay));
    else
      work.days.push_back(*day);
  }
  work.from = time_of_day(section, "from");
  work.to = time_of_day(section, "to");
}

}  // namespace

std::vector<Maintenance> read_maintenance(Reading& reading) {
  std::vector<Maintenance> all;
  Names names("maintenance");
  for (const auto* table : repeated(reading, "maintenance")) {
    Section section(*table, "maintenance", reading.findings);
    Maintenance work;
    work.name = section.text("name");
    names.add(section, work.name);
    for (auto& [name, place] : section.list("sites"))
      if (reading.sites.check("maintenance.sites", name, place, reading.findings))
        work.sites.push_back(std::move(name));
    for (auto& [name, place] : section.list("devices"))
      if (reading.devices.check("maintenance.devices", name, place, reading.findings))
        work.devices.push_back(std::move(name));
    if (section.has("start"))
      read_once(section, work);
    else
      read_weekly(section, work);
    all.push_back(std::move(work));
  }
  return all;
}

}  // namespace frisket::config
