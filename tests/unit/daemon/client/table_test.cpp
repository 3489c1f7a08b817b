#include "daemon/client/table.h"

#include <catch2/catch.hpp>
#include <sstream>

namespace frisket::client {
namespace {

const std::vector<Column> kHeader = {{"DEVICE", 8}, {"WHERE", 6}, {"SAYS", 6}};
const std::vector<std::vector<Cell>> kRows = {
    {{"herbarium-copier"}, {"種子の部屋"}, {"media-jam", Tone::critical}},
    {{"palm"}, {"office"}, {""}},
};

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

}  // namespace

TEST_CASE("columns line up after wide characters") {
  CHECK(fitted_table(kHeader, kRows, 80, false) ==
        "DEVICE            WHERE       SAYS\n"
        "herbarium-copier  種子の部屋  media-jam\n"
        "palm              office\n");
}

TEST_CASE("where the terminal is too narrow the widest columns are cut first") {
  CHECK(fitted_table(kHeader, kRows, 30, false) ==
        "DEVICE    WHERE      SAYS\n"
        "herbari…  種子の部…  media-jam\n"
        "palm      office\n");
}

TEST_CASE("no line of a table is wider than the terminal, at any width from 20") {
  for (std::size_t width = 20; width < 60; ++width)
    for (const std::string& line : lines_of(fitted_table(kHeader, kRows, width, false))) CHECK(columns(line) <= width);
}

TEST_CASE("where that is not enough spare columns go, the highest first, and whole ones are never cut") {
  const std::vector<Column> header = {{"DEVICE", Column::kWhole}, {"WHERE", 10, 1}, {"SAYS", 9, 2}};
  CHECK(fitted_table(header, kRows, 36, false) ==
        "DEVICE            WHERE\n"
        "herbarium-copier  種子の部屋\n"
        "palm              office\n");
  CHECK(fitted_table(header, kRows, 27, false) == "DEVICE\nherbarium-copier\npalm\n");
}

TEST_CASE("where not even the least widths fit, rows become blocks and nothing is cut") {
  CHECK(fitted_table(kHeader, kRows, 20, false) ==
        "DEVICE:\nherbarium-copier\nWHERE: 種子の部屋\nSAYS: media-jam\n\nDEVICE: palm\nWHERE: office\n");
}

TEST_CASE("colour changes no width and stands only around the word") {
  CHECK(fitted_table(kHeader, kRows, 80, true) ==
        "\x1b[1mDEVICE\x1b[0m            \x1b[1mWHERE\x1b[0m       \x1b[1mSAYS\x1b[0m\n"
        "herbarium-copier  種子の部屋  \x1b[1;31mmedia-jam\x1b[0m\n"
        "palm              office\n");
}

TEST_CASE("a column that says nothing is left out") {
  CHECK(fitted_table({{"A"}, {"B"}, {"C"}}, {{{"1"}, {""}, {"3"}}, {{"4"}, {"  "}, {"6"}}}, 80, false) ==
        "A  C\n1  3\n4  6\n");
  CHECK(fitted_table({{"A"}}, {}, 80, false).empty());
}

TEST_CASE("a pipe gets every cell whole, with tabs between") {
  CHECK(tab_separated({"name", "state"}, {{"herbarium-copier", "ready"}, {"palm", ""}}) ==
        "name\tstate\nherbarium-copier\tready\npalm\t\n");
}

}  // namespace frisket::client
