#include "probes/model/time.h"

#include <algorithm>
#include <cstdint>

namespace frisket::model {
namespace {

// Reads exactly `digits` decimal digits at `at`, or nothing.
std::optional<int> fixed_number(std::string_view text, std::size_t at, std::size_t digits) {
  if (at + digits > text.size()) return std::nullopt;
  int value = 0;
  for (std::size_t i = at; i < at + digits; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

bool letter_at(std::string_view text, std::size_t at, char wanted) {
  return at < text.size() && (text[at] == wanted || text[at] == wanted + ('a' - 'A'));
}

bool mark_at(std::string_view text, std::size_t at, char wanted) { return at < text.size() && text[at] == wanted; }

// `number` must not be negative; what does not fit is cut.
void put_digits(std::string& text, std::size_t at, std::size_t digits, std::int64_t number) {
  for (std::size_t i = at + digits; i > at; number /= 10) text[--i] = static_cast<char>('0' + number % 10);
}

}  // namespace

std::string to_rfc3339(WallTime instant) {
  const auto day = std::chrono::floor<std::chrono::days>(instant);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss<Milliseconds> time{instant - day};
  std::string out = "0000-00-00T00:00:00.000Z";
  put_digits(out, 0, 4, std::clamp(static_cast<int>(date.year()), 0, 9999));
  put_digits(out, 5, 2, static_cast<int>(static_cast<unsigned>(date.month())));
  put_digits(out, 8, 2, static_cast<int>(static_cast<unsigned>(date.day())));
  put_digits(out, 11, 2, time.hours().count());
  put_digits(out, 14, 2, time.minutes().count());
  put_digits(out, 17, 2, time.seconds().count());
  put_digits(out, 20, 3, time.subseconds().count());
  return out;
}

std::optional<WallTime> from_rfc3339(std::string_view text) {
  const auto year = fixed_number(text, 0, 4);
  const auto month = fixed_number(text, 5, 2);
  const auto day = fixed_number(text, 8, 2);
  const auto hour = fixed_number(text, 11, 2);
  const auto minute = fixed_number(text, 14, 2);
  const auto second = fixed_number(text, 17, 2);
  if (!year || !month || !day || !hour || !minute || !second) return std::nullopt;
  if (!mark_at(text, 4, '-') || !mark_at(text, 7, '-') || !mark_at(text, 13, ':') || !mark_at(text, 16, ':'))
    return std::nullopt;
  if (!letter_at(text, 10, 'T') && !mark_at(text, 10, ' ')) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{*year}, std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok() || *hour > 23 || *minute > 59 || *second > 60) return std::nullopt;

  std::size_t at = 19;
  int milliseconds = 0;
  if (mark_at(text, at, '.')) {
    ++at;
    int weight = 100;
    const std::size_t first = at;
    for (; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at, weight /= 10)
      milliseconds += (text[at] - '0') * weight;
    if (at == first) return std::nullopt;
  }

  std::chrono::minutes offset{0};
  if (letter_at(text, at, 'Z')) {
    ++at;
  } else if (mark_at(text, at, '+') || mark_at(text, at, '-')) {
    const auto hours = fixed_number(text, at + 1, 2);
    const auto minutes = fixed_number(text, at + 4, 2);
    if (!hours || !minutes || !mark_at(text, at + 3, ':') || *hours > 23 || *minutes > 59) return std::nullopt;
    offset = std::chrono::minutes{*hours * 60 + *minutes};
    if (text[at] == '-') offset = -offset;
    at += 6;
  } else {
    return std::nullopt;
  }
  if (at != text.size()) return std::nullopt;
  return WallTime{std::chrono::sys_days{date}} + std::chrono::hours{*hour} + std::chrono::minutes{*minute} +
         std::chrono::seconds{*second} + Milliseconds{milliseconds} - offset;
}

}  // namespace frisket::model
