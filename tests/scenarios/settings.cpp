#include "settings.h"

#include <date/date.h>

#include <algorithm>
#include <sstream>

namespace frisket::scenarios {
namespace {

constexpr auto kSite = "glasshouse";

constexpr std::pair<std::string_view, unsigned> kWeekdays[] = {
    {"sun", 0}, {"mon", 1}, {"tue", 2}, {"wed", 3}, {"thu", 4}, {"fri", 5}, {"sat", 6},
};

constexpr std::pair<std::string_view, config::Seconds config::Rules::*> kWaits[] = {
    {"cover-grace", &config::Rules::cover_grace},       {"misload-after", &config::Rules::misload_after},
    {"misload-within", &config::Rules::misload_within}, {"jam-within", &config::Rules::jam_within},
    {"returns-within", &config::Rules::returns_within}, {"proof-within", &config::Rules::proof_within},
};

config::Seconds seconds(Line& line) {
  return std::chrono::duration_cast<config::Seconds>(line.time("a time like 03:00"));
}

config::Device device_named(std::string name) {
  config::Device device;
  device.name = std::move(name);
  device.address = "127.0.0.1";
  device.site = kSite;
  return device;
}

// "2026-10-25T01:30"
std::chrono::seconds moment(Line& line) {
  const auto said = line.word("a moment like 2026-10-25T01:30");
  std::istringstream stream(said);
  date::sys_seconds at;
  stream >> date::parse("%FT%R", at);
  if (!stream || stream.peek() != std::istringstream::traits_type::eof())
    line.refuse("'" + said + "' is no moment like 2026-10-25T01:30");
  return at.time_since_epoch();
}

std::optional<unsigned> take_weekday(Line& line) {
  for (const auto& [word, day] : kWeekdays)
    if (line.take(word)) return day;
  return std::nullopt;
}

// "22:00" as a time of the day.
std::chrono::minutes time_of_day(Line& line) {
  const auto said = line.time("a time of the day like 22:00");  // read as minutes:seconds
  const auto minutes = std::chrono::minutes{std::chrono::duration_cast<std::chrono::seconds>(said).count()};
  if (minutes >= std::chrono::hours{24}) line.refuse("a day has 24 hours");
  return minutes;
}

}  // namespace

Settings::Settings() {
  config.sites = {{kSite, "UTC"}};
  config.devices = {device_named(std::string(kPrinterName))};
}

void Settings::set(Line& line) {
  const auto what = line.word("a setting");
  if (set_time(what, line)) return;
  if (what == "silent-after") {
    config.polling.silent_after = line.integer("a number of polls");
  } else if (what == "jam-repeats") {
    config.rules.jam_repeats = line.integer("a number of jams");
  } else if (what == "low") {
    config.rules.supply.low_at = line.integer("percent");
    if (!line.take("nearly-empty")) line.refuse("'nearly-empty PERCENT' should follow");
    config.rules.supply.nearly_empty_at = line.integer("percent");
    if (!line.take("clear")) line.refuse("'clear PERCENT' should follow");
    config.rules.supply.clear_at = line.integer("percent");
  } else if (what == "zone") {
    config.sites.front().time_zone = line.word("a time zone like Europe/Berlin");
  } else if (what == "neighbours") {
    set_neighbours(line);
  } else if (what == "maintenance") {
    set_maintenance(line);
  } else if (what == "out-of-service") {
    printer().out_of_service = line.word("why");
  } else {
    line.refuse("'" + what +
                "' is no setting: silent-after, low, jam-repeats, cover-grace, misload-after, misload-within, "
                "jam-within, returns-within, proof-within, poll-interval, begins, zone, neighbours, maintenance, "
                "out-of-service");
  }
}

bool Settings::set_time(const std::string& what, Line& line) {
  for (const auto& [word, wait] : kWaits) {
    if (what != word) continue;
    config.rules.*wait = seconds(line);
    return true;
  }
  if (what == "poll-interval") {
    printer().poll_interval = seconds(line);
    return true;
  }
  if (what != "begins") return false;
  begins = model::WallTime{moment(line)};
  return true;
}

void Settings::set_neighbours(Line& line) {
  do {
    auto name = line.word("the name of a device");
    if (config.find_device(name) != nullptr) line.refuse("there is a device '" + name + "' already");
    config.devices.push_back(device_named(name));
    neighbours.push_back(std::move(name));
  } while (!line.done());
}

// "maintenance daily 22:00 to 04:00", "maintenance sat sun 01:30 to 04:00",
// "maintenance once 2026-10-25T01:30 to 2026-10-25T04:00"; each may end with "of DEVICE".
void Settings::set_maintenance(Line& line) {
  config::Maintenance plan;
  plan.name = "work " + std::to_string(config.maintenance.size() + 1);
  const auto to = [&] {
    if (!line.take("to")) line.refuse("'to' and the end should follow");
  };
  if (line.take("once")) {
    plan.start = std::chrono::local_seconds{moment(line)};
    to();
    plan.end = std::chrono::local_seconds{moment(line)};
  } else {
    while (const auto day = take_weekday(line)) plan.days.emplace_back(*day);
    if (plan.days.empty() && !line.take("daily")) line.refuse("'once', 'daily' or days like 'sat sun' should follow");
    plan.from = time_of_day(line);
    to();
    plan.to = time_of_day(line);
  }
  if (line.take("of")) {
    plan.devices = {line.word("a device")};
    if (config.find_device(plan.devices.front()) == nullptr)
      line.refuse("there is no device '" + plan.devices.front() + "'");
  }
  config.maintenance.push_back(std::move(plan));
}

}  // namespace frisket::scenarios
