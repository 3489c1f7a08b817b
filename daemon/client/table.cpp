#include "daemon/client/table.h"

#include <algorithm>
#include <numeric>

namespace frisket::client {
namespace {

constexpr std::size_t kGap = 2;

bool blank(std::string_view text) { return text.find_first_not_of(' ') == std::string_view::npos; }

void drop_column(std::vector<Column>& header, std::vector<std::vector<Cell>>& rows, std::size_t column) {
  const auto at = static_cast<std::ptrdiff_t>(column);
  header.erase(header.begin() + at);
  for (auto& row : rows) row.erase(row.begin() + at);
}

void drop_blank_columns(std::vector<Column>& header, std::vector<std::vector<Cell>>& rows) {
  for (std::size_t i = header.size(); i-- > 0;) {
    if (std::ranges::none_of(rows, [&](const auto& row) { return !blank(row.at(i).text); }))
      drop_column(header, rows, i);
  }
}

std::vector<std::size_t> natural_widths(const std::vector<Column>& header, const std::vector<std::vector<Cell>>& rows) {
  std::vector<std::size_t> widths;
  for (std::size_t i = 0; i < header.size(); ++i) {
    std::size_t width = columns(header[i].title);
    for (const auto& row : rows) width = std::max(width, columns(row.at(i).text));
    widths.push_back(width);
  }
  return widths;
}

// Takes columns off the widest until all fit. False where the least widths do not.
bool shrink(std::vector<std::size_t>& widths, const std::vector<Column>& header, std::size_t width) {
  std::size_t total = std::accumulate(widths.begin(), widths.end(), kGap * (widths.size() - 1));
  while (total > width) {
    std::size_t widest = widths.size();
    for (std::size_t i = 0; i < widths.size(); ++i) {
      if (widths[i] <= std::max(header[i].least, columns(header[i].title))) continue;  // as narrow as it may be
      if (widest == widths.size() || widths[i] > widths[widest]) widest = i;
    }
    if (widest == widths.size()) return false;
    --widths[widest];
    --total;
  }
  return true;
}

std::string table_line(const std::vector<Cell>& cells, const std::vector<std::size_t>& widths, bool colour,
                       std::size_t indent) {
  std::string line;
  std::size_t owed = indent;  // spaces that are written only if something follows
  for (std::size_t i = 0; i < cells.size(); ++i) {
    std::string text = fitted(cells[i].text, widths[i]);
    const std::size_t last = text.find_last_not_of(' ');
    const std::size_t kept = last == std::string::npos ? 0 : last + 1;
    const std::size_t filling = text.size() - kept;
    text.resize(kept);
    if (!text.empty()) {
      line.append(owed, ' ');
      line += toned(text, cells[i].tone, colour);
      owed = 0;
    }
    owed += filling + kGap;
  }
  return line + '\n';
}

std::string stacked(const std::vector<Column>& header, const std::vector<std::vector<Cell>>& rows, std::size_t width,
                    bool colour) {
  std::string out;
  for (const auto& row : rows) {
    if (!out.empty()) out += '\n';
    for (std::size_t i = 0; i < header.size(); ++i) {
      if (blank(row[i].text)) continue;
      const std::string& title = header[i].title;
      for (const std::string& line : wrapped(title.empty() ? row[i].text : title + ": " + row[i].text, width))
        out += toned(line, row[i].tone, colour) + '\n';
    }
  }
  return out;
}

}  // namespace

std::string fitted_table(std::vector<Column> header, std::vector<std::vector<Cell>> rows, std::size_t width,
                         bool colour, std::size_t indent) {
  drop_blank_columns(header, rows);
  if (header.empty()) return "";
  const std::size_t room = width > indent ? width - indent : 0;
  const auto all_columns = header;
  const auto all_rows = rows;
  std::vector<std::size_t> widths = natural_widths(header, rows);
  while (!shrink(widths, header, room)) {
    const auto spare = std::ranges::max_element(header, {}, &Column::spare);
    if (spare->spare == 0) return stacked(all_columns, all_rows, width, colour);
    drop_column(header, rows, static_cast<std::size_t>(spare - header.begin()));
    if (header.empty()) return stacked(all_columns, all_rows, width, colour);
    widths = natural_widths(header, rows);
  }
  std::string out;
  if (std::ranges::any_of(header, [](const Column& column) { return !column.title.empty(); })) {
    std::vector<Cell> titles;
    for (const Column& column : header) titles.push_back({column.title, Tone::heading});
    out = table_line(titles, widths, colour, indent);
  }
  for (const auto& row : rows) out += table_line(row, widths, colour, indent);
  return out;
}

std::string tab_line(const std::vector<std::string>& cells) {
  std::string line;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) line += '\t';
    line += cells[i];
  }
  return line + '\n';
}

std::string tab_separated(const std::vector<std::string>& header, const std::vector<std::vector<std::string>>& rows) {
  std::string out = tab_line(header);
  for (const auto& row : rows) out += tab_line(row);
  return out;
}

}  // namespace frisket::client
