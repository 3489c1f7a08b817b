// Worked bytes as tests write them.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace frisket::testing {

inline std::string from_hex(std::string_view hex) {
  std::string bytes;
  const auto digit = [](char c) { return c <= '9' ? c - '0' : c - 'a' + 10; };
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
    bytes += static_cast<char>(digit(hex[i]) * 16 + digit(hex[i + 1]));
  }
  return bytes;
}

inline std::string to_hex(std::string_view bytes) {
  std::string hex;
  for (const char c : bytes) {
    hex += "0123456789abcdef"[static_cast<unsigned char>(c) >> 4U];
    hex += "0123456789abcdef"[static_cast<unsigned char>(c) & 0xfU];
  }
  return hex;
}

inline std::span<unsigned char> octets_of(std::string& bytes) {
  return {reinterpret_cast<unsigned char*>(bytes.data()), bytes.size()};
}

}  // namespace frisket::testing
