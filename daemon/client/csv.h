// Comma-separated values for spreadsheets.
//
// Lines as RFC 4180 has them. Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace frisket::client {

// One cell: in quotes where a comma, a quote or a line end is in it. A cell that a spreadsheet would take for a
// formula (first character but for spaces = + - @, or a tab or line end) gets an apostrophe in front, which
// spreadsheets show or swallow but never calculate with. Common practice against what devices call themselves; it is in
// no standard.
std::string csv_cell(std::string_view text);

// The header line and one line per row, each ended by CR LF.
std::string csv(const std::vector<std::string>& header, const std::vector<std::vector<std::string>>& rows);

}  // namespace frisket::client
