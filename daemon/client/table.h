// Tables: fitted to a terminal, or tab-separated for a pipe.
//
// Cells must be inert already (display.h). Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/client/display.h"

namespace frisket::client {

struct Cell {
  std::string text;
  Tone tone = Tone::plain;
};

struct Column {
  // A least width that no terminal has: the column is never cut.
  static constexpr std::size_t kWhole = 10'000;

  std::string title;
  std::size_t least = 6;  // narrower than this it is not cut, unless all it holds is narrower
  int spare = 0;          // above 0: may be left out where space is short, the highest first
};

// Rows of as many cells as there are columns, each line after `indent` spaces. Columns take
// what they need; where that is too wide for the terminal the widest are cut first, then
// spare columns are left out. Where not even the least widths of the others fit, each
// row is written as a block of "title: text" lines instead, with all its columns. A column without
// any text is left out, and so is the header line where no column has a title.
std::string fitted_table(std::vector<Column> header, std::vector<std::vector<Cell>> rows, std::size_t width,
                         bool colour, std::size_t indent = 0);

// The header line and one line per row, cells separated by tabs, never cut.
std::string tab_separated(const std::vector<std::string>& header, const std::vector<std::vector<std::string>>& rows);

// One line of tab_separated().
std::string tab_line(const std::vector<std::string>& cells);

}  // namespace frisket::client
