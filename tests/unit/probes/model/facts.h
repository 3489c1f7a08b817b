// Tables of tests/facts: the standards' numbers, extracted independently of the code.
#pragma once

#include <catch2/catch.hpp>
#include <fstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace frisket::model {

// The rows below the header, each split at its tabs; comment lines are left out.
inline std::vector<std::vector<std::string>> facts(const std::string& file) {
  std::ifstream stream(std::string(FRISKET_TESTS_DIR) + "/facts/" + file);
  REQUIRE(stream);
  std::vector<std::vector<std::string>> rows;
  bool header_seen = false;
  for (std::string line; std::getline(stream, line);) {
    if (line.starts_with('#')) continue;
    if (!std::exchange(header_seen, true)) continue;
    std::vector<std::string> fields(1);
    for (const char c : line) {
      if (c == '\t')
        fields.emplace_back();
      else
        fields.back() += c;
    }
    rows.push_back(std::move(fields));
  }
  REQUIRE(rows.size() > 10);
  return rows;
}

inline std::string octets_of(std::string_view hex) {
  std::string octets;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    octets += static_cast<char>(std::stoi(std::string(hex.substr(i, 2)), nullptr, 16));
  return octets;
}

}  // namespace frisket::model
