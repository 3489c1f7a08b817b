// Rows of a table in tests/facts: '#' starts a comment, the first other line is the header.
#pragma once

#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace frisket::incidents::testing {

using FactRow = std::map<std::string, std::string>;

inline std::vector<std::string> split(const std::string& line, char separator) {
  std::vector<std::string> cells;
  std::string cell;
  std::istringstream stream(line);
  while (std::getline(stream, cell, separator)) cells.push_back(cell);
  return cells;
}

inline std::vector<FactRow> facts(const std::string& name) {
  std::ifstream file(std::string(FRISKET_TESTS_DIR) + "/facts/" + name);
  if (!file) throw std::runtime_error("tests/facts/" + name + " cannot be read");
  std::vector<std::string> header;
  std::vector<FactRow> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#') continue;
    const auto cells = split(line, '\t');
    if (header.empty()) {
      header = cells;
      continue;
    }
    FactRow row;
    for (std::size_t i = 0; i < header.size(); ++i) row[header[i]] = i < cells.size() ? cells[i] : "";
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace frisket::incidents::testing
