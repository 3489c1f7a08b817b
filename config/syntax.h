// How single values of the configuration are spelt. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "config/config.h"

namespace frisket::config {

// Names of sites, credentials, devices and hooks: letters, digits, '.', '-' and '_' (ASCII), up
// to 64, so that a name can stand in a URL, a file name and an environment value as it is.
bool is_name(std::string_view text);

// An IPP keyword (RFC 8011 section 5.1.4): lower-case letters, digits, '-', '.', '_', begins
// with a letter, at most 255.
bool is_keyword(std::string_view text);

// IANA's names of time zones: parts of letters, digits, '+', '-' and '_' between slashes.
// Says nothing about whether the zone exists.
bool is_zone_name(std::string_view text);

struct Address {
  enum class Kind {
    host_name,  // RFC 1123 section 2.1
    unicast,    // an IP literal of one machine
    other,      // an IP literal of no machine or of many: 0.0.0.0, ::, multicast, broadcast
  };
  Kind kind = Kind::host_name;
  std::string normal;  // one spelling for each address; host names in lower case
};

// An IPv4 literal, an IPv6 literal with or without a %zone, or a host name.
std::optional<Address> parse_address(std::string_view text);

// "127.0.0.1:9640", "[::1]:9640". The address is a literal.
std::optional<Listen> parse_endpoint(std::string_view text);

// A whole number with a unit: "1500ms", "30s", "5m", "1h". Nothing for anything else, also
// for what is longer than ten years.
std::optional<Milliseconds> parse_duration(std::string_view text);

// The shortest such spelling: 90000 ms is "90s", 60000 ms is "1m".
std::string duration_text(Milliseconds duration);

// "22:00": two digits, a colon, two digits, up to 23:59. Since midnight.
std::optional<std::chrono::minutes> parse_time_of_day(std::string_view text);

// "mon" to "sun".
std::optional<std::chrono::weekday> parse_weekday(std::string_view text);

// "2026-12-24T18:00": a day that exists, in the Gregorian calendar.
std::optional<std::chrono::local_seconds> parse_local_moment(std::string_view text);

}  // namespace frisket::config
