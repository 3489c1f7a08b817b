// Letters and control characters of ASCII, whatever the locale is. Other octets stay as they are, so UTF-8 stays
// UTF-8. Pure; any thread.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

namespace frisket::model {

inline char lower_case(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

inline std::string in_lower_case(std::string_view text) {
  std::string lower(text);
  std::ranges::transform(lower, lower.begin(), lower_case);
  return lower;
}

// C0 and DEL.
inline bool has_control_characters(std::string_view text) {
  return std::ranges::any_of(text, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; });
}

}  // namespace frisket::model
