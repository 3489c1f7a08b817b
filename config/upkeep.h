// What parts, suppliers and service are like, as configured. Pure values; any thread.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

namespace frisket::config {

// A day on which a site stays closed: of one year, or of each.
struct Holiday {
  std::optional<std::chrono::year> year;
  std::chrono::month_day day;
  friend bool operator==(const Holiday&, const Holiday&) = default;
};

// "2026-12-24", or "12-25" for each year; 29 February is there in leap years only.
std::optional<Holiday> parse_holiday(std::string_view text);

struct Supplier {
  std::string name;
  int lead_days = 5;
  int review_days = 7;
  double service_level = 0.95;
  friend bool operator==(const Supplier&, const Supplier&) = default;
};

struct Part {
  std::string number;
  std::string maker;
  std::string description;
  std::string colorant;
  std::string supplier;  // the name of one; empty: the defaults above
  int pack_size = 1;
  std::optional<int> shelf_life_days;
  friend bool operator==(const Part&, const Part&) = default;
};

struct Task {
  std::string name;
  std::string title;
  std::optional<int> every_impressions;  // one of the two at least
  std::optional<int> every_days;
  std::vector<std::string> devices;  // names; with `models` both empty: every device
  std::vector<std::string> models;   // as the device tells them
  int minutes = 10;
  friend bool operator==(const Task&, const Task&) = default;
};

}  // namespace frisket::config
