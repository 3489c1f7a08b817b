#include "daemon/client/moments.h"

#include <array>
#include <cstdio>
#include <ctime>

namespace frisket::client {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

// Local civil time, kept as if it were UTC so that <chrono>'s calendar can take it apart.
std::chrono::sys_seconds civil(WallTime instant, const Zone& zone) {
  return std::chrono::floor<seconds>(instant) + zone(instant);
}

using Day = std::chrono::sys_days;

Day local_day(WallTime instant, const Zone& zone) { return std::chrono::floor<days>(civil(instant, zone)); }

std::string weekday_word(Day day) {
  constexpr std::array kDays = {"Sun ", "Mon ", "Tue ", "Wed ", "Thu ", "Fri ", "Sat "};
  return kDays.at(std::chrono::weekday{day}.c_encoding());
}

std::string date_word(Day day) {
  const std::chrono::year_month_day date{day};
  std::array<char, 32> out{};
  std::snprintf(out.data(), out.size(), "%04d-%02u-%02u", static_cast<int>(date.year()),
                static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
  return out.data();
}

std::string day_words(WallTime instant, WallTime now, const Zone& zone) {
  const Day day = local_day(instant, zone);
  const Day today = local_day(now, zone);
  if (day == today) return "";
  return day < today && today - day <= days{6} ? weekday_word(day) : date_word(day) + ' ';
}

std::string clock_words(WallTime instant, const Zone& zone, bool with_seconds) {
  const auto local = civil(instant, zone);
  const std::chrono::hh_mm_ss time{local - std::chrono::floor<days>(local)};
  std::array<char, 32> out{};
  std::snprintf(out.data(), out.size(), with_seconds ? "%02d:%02d:%02d" : "%02d:%02d",
                static_cast<int>(time.hours().count()), static_cast<int>(time.minutes().count()),
                static_cast<int>(time.seconds().count()));
  return out.data();
}

}  // namespace

Zone system_zone() {
  ::tzset();
  return [](WallTime instant) {
    const std::time_t at = std::chrono::system_clock::to_time_t(instant);
    std::tm local{};
    if (::localtime_r(&at, &local) == nullptr) return seconds{0};
    return seconds{local.tm_gmtoff};
  };
}

std::string local_moment(WallTime instant, WallTime now, const Zone& zone) {
  return day_words(instant, now, zone) + clock_words(instant, zone, false);
}

std::string local_moment_with_seconds(WallTime instant, WallTime now, const Zone& zone) {
  return day_words(instant, now, zone) + clock_words(instant, zone, true);
}

std::string local_date(WallTime instant, const Zone& zone) {
  const Day day = local_day(instant, zone);
  return weekday_word(day) + date_word(day);
}

std::int64_t local_days_ahead(WallTime instant, WallTime now, const Zone& zone) {
  return (local_day(instant, zone) - local_day(now, zone)).count();
}

std::optional<WallTime> written_moment(std::string_view text, bool end_of_day, const Zone& zone) {
  if (text.size() != std::string_view("2026-11-26").size()) return model::from_rfc3339(text);
  const auto midnight = model::from_rfc3339(std::string(text) + "T00:00:00Z");
  if (!midnight) return std::nullopt;
  const WallTime as_if_utc = *midnight + days{end_of_day ? 1 : 0};
  // The offset at about that instant, and then at the instant itself: they differ where the clock has just changed.
  return as_if_utc - zone(as_if_utc - zone(as_if_utc));
}

std::string span_words(std::chrono::milliseconds span) {
  if (span < minutes{1}) return "under a minute";
  if (span < hours{1}) return std::to_string(std::chrono::floor<minutes>(span).count()) + " min";
  if (span < days{1}) {
    const auto whole = std::chrono::floor<hours>(span);
    const auto rest = std::chrono::floor<minutes>(span - whole).count();
    return std::to_string(whole.count()) + " h " + (rest < 10 ? "0" : "") + std::to_string(rest) + " min";
  }
  const auto whole = std::chrono::floor<days>(span);
  return std::to_string(whole.count()) + " d " + std::to_string(std::chrono::floor<hours>(span - whole).count()) + " h";
}

std::string since_words(WallTime instant, WallTime now, const Zone& zone) {
  const std::string moment = local_moment(instant, now, zone);
  return instant > now ? moment : moment + ", " + span_words(now - instant);
}

}  // namespace frisket::client
