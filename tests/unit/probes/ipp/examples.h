// The worked examples of RFC 8010 Appendix A, from tests/facts/ipp-examples.tsv.
#pragma once

#include <fstream>
#include <map>
#include <stdexcept>
#include <string>

namespace frisket::testing {

// Octets by the first word of the row's name: "A.1", ... "X.3".
inline std::map<std::string, std::string> ipp_examples() {
  std::map<std::string, std::string> out;
  std::ifstream file(FRISKET_TESTS_DIR "/facts/ipp-examples.tsv");
  if (!file) throw std::runtime_error("tests/facts/ipp-examples.tsv is missing");
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#' || line.starts_with("name\t")) continue;
    const auto first = line.find('\t');
    const auto second = line.find('\t', first + 1);
    const std::string hex = line.substr(second + 1);
    std::string octets;
    for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
      octets += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
    if (octets.size() != std::stoul(line.substr(first + 1, second - first - 1)))
      throw std::runtime_error("ipp-examples.tsv: the octet count is wrong in " + line.substr(0, first));
    out[line.substr(0, line.find(' '))] = octets;
  }
  return out;
}

}  // namespace frisket::testing
