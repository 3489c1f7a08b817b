#include "daemon/upkeep/calendar.h"

#include <algorithm>
#include <cstdio>

namespace frisket::upkeep {
namespace {

using std::chrono::days;

std::chrono::year_month_day fields_of(LocalDay day) { return std::chrono::year_month_day{day}; }

}  // namespace

model::Result<Calendar> Calendar::of(const std::string& zone, std::vector<LocalDay> holidays) {
  const auto clock = config::LocalClock::of(zone);
  if (!clock) return clock.error();
  std::sort(holidays.begin(), holidays.end());
  holidays.erase(std::unique(holidays.begin(), holidays.end()), holidays.end());
  return Calendar(*clock, std::move(holidays));
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
