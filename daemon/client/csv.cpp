#include "daemon/client/csv.h"

namespace frisket::client {
namespace {

bool looks_like_a_formula(std::string_view text) {
  const std::size_t first = text.find_first_not_of(' ');
  return first != std::string_view::npos && std::string_view("=+-@\t\r\n").find(text[first]) != std::string_view::npos;
}

std::string csv_line(const std::vector<std::string>& cells) {
  std::string out;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) out += ',';
    out += csv_cell(cells[i]);
  }
  return out + "\r\n";
}

}  // namespace

std::string csv_cell(std::string_view text) {
  const std::string whole = (looks_like_a_formula(text) ? "'" : "") + std::string(text);
  if (whole.find_first_of(",\"\r\n") == std::string::npos) return whole;
  std::string out = "\"";
  for (const char octet : whole) {
    if (octet == '"') out += '"';
    out += octet;
  }
  return out + '"';
}

std::string csv(const std::vector<std::string>& header, const std::vector<std::vector<std::string>>& rows) {
  std::string out = csv_line(header);
  for (const auto& row : rows) out += csv_line(row);
  return out;
}

}  // namespace frisket::client
