#include "probes/model/designation.h"

#include <algorithm>
#include <array>
#include <optional>

#include "probes/model/ascii.h"

namespace frisket::model {
namespace {

constexpr std::string_view kBetweenWords = " ,;:()[]/|\"'";

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_capital(char c) { return c >= 'A' && c <= 'Z'; }

bool same_letters(std::string_view a, std::string_view b) {
  return std::ranges::equal(a, b, {}, lower_case, lower_case);
}

std::string_view trimmed(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  return text;
}

// The value of one key of an IEEE 1284 device id: "KEY:value;".
std::optional<std::string_view> device_id_value(std::string_view text, std::string_view key) {
  while (!text.empty()) {
    const auto end = text.find(';');
    const auto field = text.substr(0, end);
    const auto colon = field.find(':');
    if (colon != field.npos && same_letters(trimmed(field.substr(0, colon)), key))
      return trimmed(field.substr(colon + 1));
    if (end == text.npos) break;
    text.remove_prefix(end + 1);
  }
  return std::nullopt;
}

bool is_quantity(std::string_view word) {
  constexpr std::array<std::string_view, 8> kUnits = {"K", "ML", "L", "G", "KG", "DPI", "PPM", "V"};
  const auto letters = word.find_first_not_of("0123456789");
  return letters != word.npos && letters > 0 && std::ranges::find(kUnits, word.substr(letters)) != kUnits.end();
}

bool is_order_number(std::string_view word) {
  if (word.size() < 4 || word.size() > 24 || is_quantity(word)) return false;
  if (word.front() == '-' || word.back() == '-') return false;
  if (!std::ranges::all_of(word, [](char c) { return is_digit(c) || is_capital(c) || c == '-'; })) return false;
  return std::ranges::count_if(word, is_digit) >= 2 && std::ranges::any_of(word, is_capital);
}

}  // namespace

Designation designation_of(std::string_view description) {
  description = trimmed(description);
  auto maker = device_id_value(description, "MFG");
  if (!maker) maker = device_id_value(description, "MANUFACTURER");
  auto product = device_id_value(description, "MDL");
  if (!product) product = device_id_value(description, "MODEL");
  if (maker || product) return {std::string(maker.value_or("")), std::string(product.value_or(""))};

  const auto space = description.find(' ');
  if (space == description.npos) return {"", std::string(description)};
  return {std::string(description.substr(0, space)), std::string(trimmed(description.substr(space)))};
}

std::string part_number_in(std::string_view description) {
  std::string_view before;
  while (!description.empty()) {
    const auto start = description.find_first_not_of(kBetweenWords);
    if (start == description.npos) break;
    description.remove_prefix(start);
    const auto word = description.substr(0, description.find_first_of(kBetweenWords));
    description.remove_prefix(word.size());
    // What follows is a serial number, and part numbers come before it if at all.
    if (word.starts_with("SN") || same_letters(word, "serial") ||
        (same_letters(before, "S") && same_letters(word, "N")))
      break;
    if (is_order_number(word)) return std::string(word);
    before = word;
  }
  return {};
}

}  // namespace frisket::model
