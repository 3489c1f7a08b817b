#include "config/syntax.h"

#include <arpa/inet.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace frisket::config {
namespace {

constexpr std::size_t kLongestName = 64;
constexpr std::size_t kLongestKeyword = 255;
constexpr std::size_t kLongestZone = 64;
constexpr std::size_t kLongestHostName = 253;  // RFC 1035 section 2.3.4, as text
constexpr std::size_t kLongestLabel = 63;
constexpr std::size_t kLongestInterface = 15;  // IFNAMSIZ without the NUL
constexpr Milliseconds kLongestDuration = std::chrono::hours{24 * 3653};

constexpr std::array<std::pair<std::string_view, Milliseconds>, 4> kUnits = {{
    {"h", std::chrono::hours{1}},
    {"m", std::chrono::minutes{1}},
    {"s", std::chrono::seconds{1}},
    {"ms", Milliseconds{1}},
}};

bool is_lower(char c) { return c >= 'a' && c <= 'z'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return is_lower(c) || (c >= 'A' && c <= 'Z'); }
bool is_alphanumeric(char c) { return is_letter(c) || is_digit(c); }
bool is_name_character(char c) { return is_alphanumeric(c) || c == '.' || c == '-' || c == '_'; }

// Whole text as a number of at most `most`; no sign, no blank.
std::optional<unsigned> whole_number(std::string_view text, unsigned most) {
  unsigned value = 0;
  const auto* end = text.data() + text.size();
  const auto [stop, failure] = std::from_chars(text.data(), end, value);
  if (text.empty() || failure != std::errc{} || stop != end || value > most) return std::nullopt;
  return value;
}

bool is_label(std::string_view label) {
  return !label.empty() && label.size() <= kLongestLabel && label.front() != '-' && label.back() != '-' &&
         std::ranges::all_of(label, [](char c) { return is_alphanumeric(c) || c == '-'; });
}

// RFC 1123 section 2.1. A last label of digits only would be a mistyped IPv4 literal.
std::optional<Address> host_name(std::string_view text) {
  if (text.ends_with('.')) text.remove_suffix(1);
  if (text.empty() || text.size() > kLongestHostName) return std::nullopt;
  std::string_view rest = text;
  std::string_view label;
  for (bool last = false; !last;) {
    const auto dot = rest.find('.');
    last = dot == std::string_view::npos;
    label = rest.substr(0, dot);
    if (!is_label(label)) return std::nullopt;
    if (!last) rest.remove_prefix(dot + 1);
  }
  if (std::ranges::all_of(label, is_digit)) return std::nullopt;
  std::string normal(text);
  std::ranges::transform(normal, normal.begin(), [](char c) { return is_letter(c) ? static_cast<char>(c | 0x20) : c; });
  return Address{Address::Kind::host_name, std::move(normal)};
}

Address v4(const in_addr& address) {
  char text[INET_ADDRSTRLEN];
  ::inet_ntop(AF_INET, &address, text, sizeof text);
  const auto first = ntohl(address.s_addr) >> 24;
  // 0.0.0.0/8 is "this network", 224.0.0.0/4 multicast, 240.0.0.0/4 reserved with broadcast (RFC 6890).
  const bool unicast = first != 0 && first < 224;
  return {unicast ? Address::Kind::unicast : Address::Kind::other, text};
}

std::optional<Address> v6(std::string_view literal, std::string_view zone) {
  in6_addr address{};
  if (::inet_pton(AF_INET6, std::string(literal).c_str(), &address) != 1) return std::nullopt;
  if (IN6_IS_ADDR_V4MAPPED(&address)) {  // the same machine as under its IPv4 literal
    in_addr mapped{};
    std::copy_n(&address.s6_addr[12], 4, reinterpret_cast<unsigned char*>(&mapped.s_addr));
    return v4(mapped);
  }
  char text[INET6_ADDRSTRLEN];
  ::inet_ntop(AF_INET6, &address, text, sizeof text);
  const bool unicast = !IN6_IS_ADDR_UNSPECIFIED(&address) && !IN6_IS_ADDR_MULTICAST(&address);
  Address parsed{unicast ? Address::Kind::unicast : Address::Kind::other, text};
  if (!zone.empty()) parsed.normal.append(1, '%').append(zone);
  return parsed;
}

std::optional<Address> literal(std::string_view text) {
  if (text.size() > INET6_ADDRSTRLEN + kLongestInterface || text.find('\0') != std::string_view::npos)
    return std::nullopt;
  in_addr address{};
  if (::inet_pton(AF_INET, std::string(text).c_str(), &address) == 1) return v4(address);
  const auto percent = text.find('%');
  if (percent == std::string_view::npos) return v6(text, {});
  const auto zone = text.substr(percent + 1);
  if (zone.empty() || zone.size() > kLongestInterface || !std::ranges::all_of(zone, is_name_character))
    return std::nullopt;
  return v6(text.substr(0, percent), zone);
}

}  // namespace

bool is_name(std::string_view text) {
  return !text.empty() && text.size() <= kLongestName && std::ranges::all_of(text, is_name_character) && text != "." &&
         text != "..";
}

bool is_keyword(std::string_view text) {
  return !text.empty() && text.size() <= kLongestKeyword && is_lower(text.front()) &&
         std::ranges::all_of(text,
                             [](char c) { return is_lower(c) || is_digit(c) || c == '-' || c == '.' || c == '_'; });
}

bool is_zone_name(std::string_view text) {
  return !text.empty() && text.size() <= kLongestZone && is_letter(text.front()) && text.back() != '/' &&
         text.find("//") == std::string_view::npos && std::ranges::all_of(text, [](char c) {
           return is_alphanumeric(c) || c == '/' || c == '+' || c == '-' || c == '_';
         });
}

std::optional<Address> parse_address(std::string_view text) {
  if (auto address = literal(text)) return address;
  return host_name(text);
}

std::optional<Listen> parse_endpoint(std::string_view text) {
  const auto colon = text.rfind(':');
  if (colon == std::string_view::npos) return std::nullopt;
  auto host = text.substr(0, colon);
  const auto port = whole_number(text.substr(colon + 1), 65535);
  const bool bracketed = host.size() > 2 && host.front() == '[' && host.back() == ']';
  if (bracketed) host = host.substr(1, host.size() - 2);
  const bool has_colon = host.find(':') != std::string_view::npos;
  if (!port || bracketed != has_colon || !literal(host)) return std::nullopt;
  return Listen{std::string(host), static_cast<std::uint16_t>(*port)};
}

std::optional<Milliseconds> parse_duration(std::string_view text) {
  const auto digits = std::ranges::find_if_not(text, is_digit) - text.begin();
  const auto count = whole_number(text.substr(0, static_cast<std::size_t>(digits)), 2'000'000'000);
  if (!count) return std::nullopt;
  for (const auto& [unit, worth] : kUnits) {
    if (text.substr(static_cast<std::size_t>(digits)) != unit) continue;
    const auto duration = worth * *count;
    return duration <= kLongestDuration ? std::optional(duration) : std::nullopt;
  }
  return std::nullopt;
}

std::string duration_text(Milliseconds duration) {
  if (duration == Milliseconds{0}) return "0s";
  for (const auto& [unit, worth] : kUnits)
    if (duration % worth == Milliseconds{0} && (duration >= worth || worth == Milliseconds{1}))
      return std::to_string(duration / worth) + std::string(unit);
  return "0ms";
}

std::optional<std::chrono::minutes> parse_time_of_day(std::string_view text) {
  if (text.size() != 5 || text[2] != ':') return std::nullopt;
  const auto hours = whole_number(text.substr(0, 2), 23);
  const auto minutes = whole_number(text.substr(3), 59);
  if (!hours || !minutes) return std::nullopt;
  return std::chrono::hours{*hours} + std::chrono::minutes{*minutes};
}

std::optional<std::chrono::weekday> parse_weekday(std::string_view text) {
  constexpr std::array<std::string_view, 7> kDays = {"sun", "mon", "tue", "wed", "thu", "fri", "sat"};
  const auto day = std::ranges::find(kDays, text);
  if (day == kDays.end()) return std::nullopt;
  return std::chrono::weekday{static_cast<unsigned>(day - kDays.begin())};
}

std::optional<std::chrono::local_seconds> parse_local_moment(std::string_view text) {
  if (text.size() != 16 || text[4] != '-' || text[7] != '-' || text[10] != 'T') return std::nullopt;
  const auto year = whole_number(text.substr(0, 4), 9999);
  const auto month = whole_number(text.substr(5, 2), 12);
  const auto day = whole_number(text.substr(8, 2), 31);
  const auto time = parse_time_of_day(text.substr(11));
  if (!year || !month || !day || !time) return std::nullopt;
  const auto date = std::chrono::year{static_cast<int>(*year)} / static_cast<int>(*month) / static_cast<int>(*day);
  if (!date.ok()) return std::nullopt;
  return std::chrono::local_days{date} + *time;
}

}  // namespace frisket::config
