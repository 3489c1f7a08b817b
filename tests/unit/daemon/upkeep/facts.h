// Tables of published numbers in tests/facts/upkeep: comma-separated, '#' begins a comment line.
#pragma once

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace facts {

inline std::vector<std::vector<std::string>> rows_of(const std::string& file) {
  std::ifstream stream(std::string(FRISKET_TESTS_DIR) + "/facts/upkeep/" + file);
  REQUIRE(stream);
  std::vector<std::vector<std::string>> rows;
  for (std::string line; std::getline(stream, line);) {
    if (line.empty() || line[0] == '#') continue;
    std::istringstream cells(line);
    rows.emplace_back();
    for (std::string cell; std::getline(cells, cell, ',');) rows.back().push_back(cell);
  }
  REQUIRE_FALSE(rows.empty());
  return rows;
}

}  // namespace facts
