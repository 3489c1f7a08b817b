#include "daemon/upkeep/location.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>

#include "probes/model/ascii.h"

namespace frisket::upkeep {
namespace {

std::string trimmed(std::string_view text) {
  const auto from = text.find_first_not_of(" \t");
  if (from == std::string_view::npos) return {};
  return std::string(text.substr(from, text.find_last_not_of(" \t") - from + 1));
}

bool digit(char c) { return c >= '0' && c <= '9'; }

// A number at the front of the text, at most 999.
std::optional<int> leading_number(std::string_view text) {
  int value = 0;
  std::size_t used = 0;
  while (used < text.size() && used < 3 && digit(text[used])) value = value * 10 + (text[used++] - '0');
  if (used == 0) return std::nullopt;
  return value;
}

std::optional<int> floor_from(const std::string& piece) {
  constexpr std::array<std::string_view, 11> kOrdinals{"ground", "first",   "second", "third", "fourth", "fifth",
                                                       "sixth",  "seventh", "eighth", "ninth", "tenth"};
  const std::string text = model::in_lower_case(piece);
  if (text == "basement" || text == "cellar" || text == "basement floor") return -1;
  if (text == "ground" || text == "ground level") return 0;
  if (text.starts_with("floor ") || text.starts_with("level ")) {
    const bool below = text.size() > 6 && text[6] == '-';
    const auto number = leading_number(std::string_view(text).substr(below ? 7 : 6));
    if (number) return below ? -*number : *number;
    return std::nullopt;
  }
  const auto word = text.find(' ');
  if (word == std::string::npos || text.substr(word + 1) != "floor") return std::nullopt;
  const std::string_view name = std::string_view(text).substr(0, word);
  for (std::size_t i = 0; i < kOrdinals.size(); ++i) {
    if (name == kOrdinals[i]) return static_cast<int>(i);
  }
  return leading_number(name);
}

// Text order with runs of digits by value.
int natural_order(std::string_view a, std::string_view b) {
  while (!a.empty() && !b.empty()) {
    if (digit(a.front()) && digit(b.front())) {
      while (a.size() > 1 && a.front() == '0' && digit(a[1])) a.remove_prefix(1);
      while (b.size() > 1 && b.front() == '0' && digit(b[1])) b.remove_prefix(1);
      const auto length = [](std::string_view text) {
        return static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), digit) - text.begin());
      };
      const std::size_t of_a = length(a);
      const std::size_t of_b = length(b);
      if (of_a != of_b) return of_a < of_b ? -1 : 1;
      if (const int order = a.substr(0, of_a).compare(b.substr(0, of_b))) return order;
      a.remove_prefix(of_a);
      b.remove_prefix(of_b);
    } else {
      if (a.front() != b.front()) return a.front() < b.front() ? -1 : 1;
      a.remove_prefix(1);
      b.remove_prefix(1);
    }
  }
  return a.empty() ? (b.empty() ? 0 : -1) : 1;
}

}  // namespace

Location location_from(const std::string& text) {
  Location location;
  bool first = true;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t comma = std::min(text.find(',', from), text.size());
    const std::string piece = trimmed(std::string_view(text).substr(from, comma - from));
    from = comma + 1;
    if (piece.empty()) continue;
    if (first) {
      location.building = piece;
      first = false;
    } else if (const auto floor = floor_from(piece)) {
      location.floor = *floor;
    } else {
      location.place += (location.place.empty() ? "" : ", ") + piece;
    }
  }
  return location;
}

Spot::Spot(const Location& location)
    : building(model::in_lower_case(location.building)),
      floor(location.floor),
      place(model::in_lower_case(location.place)) {}

int order_of(const Spot& a, const Spot& b) {
  if (const int order = natural_order(a.building, b.building)) return order;
  if (a.floor != b.floor) return a.floor < b.floor ? -1 : 1;
  return natural_order(a.place, b.place);
}

double minutes_between(const Spot& a, const Spot& b, const Walking& walking) {
  if (a.building != b.building)
    return walking.between_buildings + walking.per_floor * (std::abs(a.floor) + std::abs(b.floor));
  if (a.floor != b.floor) return walking.same_floor + walking.per_floor * std::abs(a.floor - b.floor);
  return a.place == b.place ? 0 : walking.same_floor;
}

}  // namespace frisket::upkeep
