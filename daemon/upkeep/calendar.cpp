#include "daemon/upkeep/calendar.h"

#include <date/tz.h>

#include <algorithm>
#include <cstdio>
#include <stdexcept>

namespace frisket::upkeep {
namespace {

using std::chrono::days;

date::local_days to_date(LocalDay day) { return date::local_days{date::days{day.time_since_epoch().count()}}; }

std::chrono::year_month_day fields_of(LocalDay day) { return std::chrono::year_month_day{day}; }

}  // namespace

model::Result<Calendar> Calendar::of(const std::string& zone, std::vector<LocalDay> holidays) {
  const date::time_zone* found = nullptr;
  try {
    found = date::locate_zone(zone);
  } catch (const std::runtime_error& fault) {
    bool any = true;
    try {
      (void)date::locate_zone("UTC");
    } catch (const std::runtime_error&) {
      any = false;
    }
    if (any) return model::Error{model::Error::Kind::invalid, "looking up the time zone", zone, "no such zone"};
    return model::Error{model::Error::Kind::local, "reading the time zone data", "", fault.what()};
  }
  std::sort(holidays.begin(), holidays.end());
  holidays.erase(std::unique(holidays.begin(), holidays.end()), holidays.end());
  return Calendar(found, std::move(holidays));
}

LocalDay Calendar::day_of(WallTime instant) const {
  const auto info = zone_->get_info(date::sys_time<Milliseconds>{instant.time_since_epoch()});
  const Milliseconds local = instant.time_since_epoch() + info.offset;
  return LocalDay{std::chrono::floor<days>(local)};
}

WallTime Calendar::start_of(LocalDay day) const {
  const date::sys_time<Milliseconds> start =
      zone_->to_sys(date::local_time<Milliseconds>{to_date(day)}, date::choose::earliest);
  return WallTime{start.time_since_epoch()};
}

year_month Calendar::month_of(WallTime instant) const { return upkeep::month_of(day_of(instant)); }

WallTime Calendar::start_of(year_month month) const { return start_of(LocalDay{month / std::chrono::day{1}}); }

bool Calendar::holiday(LocalDay day) const { return std::binary_search(holidays_.begin(), holidays_.end(), day); }

int weekday_of(LocalDay day) { return static_cast<int>(std::chrono::weekday{day}.iso_encoding()) - 1; }

year_month month_of(LocalDay day) {
  const auto fields = fields_of(day);
  return fields.year() / fields.month();
}

IsoWeek iso_week_of(LocalDay day) {
  const int weekday = weekday_of(day) + 1;
  const LocalDay thursday = day + days{4 - weekday};
  const auto year = fields_of(thursday).year();
  const LocalDay first{year / std::chrono::January / 1};
  return {static_cast<int>(year), static_cast<int>((thursday - first).count() / 7) + 1, weekday};
}

std::string to_text(LocalDay day) {
  const auto fields = fields_of(day);
  char text[32];
  std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(fields.year()),
                static_cast<unsigned>(fields.month()), static_cast<unsigned>(fields.day()));
  return text;
}

std::string to_text(year_month month) {
  char text[32];
  std::snprintf(text, sizeof text, "%04d-%02u", static_cast<int>(month.year()), static_cast<unsigned>(month.month()));
  return text;
}

std::vector<LocalDay> yearly(const std::vector<std::chrono::month_day>& wanted, int first, int last) {
  std::vector<LocalDay> dates;
  for (int year = first; year <= last; ++year) {
    for (const auto& month_day : wanted) {
      const auto date = std::chrono::year{year} / month_day;
      if (date.ok()) dates.emplace_back(date);
    }
  }
  return dates;
}

}  // namespace frisket::upkeep
