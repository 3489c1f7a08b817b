// The raster read back by libcups' reader, held against PWG 5102.4-2012.
#include <cups/cups.h>
#include <cups/raster.h>

#include <algorithm>
#include <cstring>
#include <memory>

#include "content.h"

namespace frisket::testpage {
namespace {

using namespace testing;

struct Reading {
  std::string_view rest;
  static ssize_t take(void* context, unsigned char* buffer, std::size_t length) {
    auto& rest = static_cast<Reading*>(context)->rest;
    length = std::min(length, rest.size());
    std::memcpy(buffer, rest.data(), length);
    rest.remove_prefix(length);
    return static_cast<ssize_t>(length);
  }
};

// All pages of a raster.
struct Read {
  std::vector<cups_page_header2_t> headers;
  std::vector<std::vector<unsigned char>> rows;  // of all pages
  bool whole = false;                            // nothing was missing, nothing was left
};

Read read(std::string_view document) {
  Read result;
  Reading reading{document};
  const std::unique_ptr<cups_raster_t, decltype(&cupsRasterClose)> raster(
      cupsRasterOpenIO(&Reading::take, &reading, CUPS_RASTER_READ), &cupsRasterClose);
  if (!raster) return result;
  cups_page_header2_t header{};
  while (cupsRasterReadHeader2(raster.get(), &header) != 0) {
    result.headers.push_back(header);
    for (unsigned row = 0; row < header.cupsHeight; ++row) {
      std::vector<unsigned char> line(header.cupsBytesPerLine);
      if (cupsRasterReadPixels(raster.get(), line.data(), header.cupsBytesPerLine) == 0) return result;
      result.rows.push_back(std::move(line));
    }
  }
  result.whole = reading.rest.empty();
  return result;
}

}  // namespace

// Sections 4.1 to 4.3 and their tables: the sync word, and the header's fields and values.
TEST_CASE("a raster begins with RaS2 and holds one page with the header that PWG 5102.4 asks for") {
  struct Case {
    RasterType type;
    Resolution resolution;
    Sheet sheet;
    unsigned width, height, bits, colours, space;
    const char* name;
  };
  // Pixels: the sheet's millimetres or inches by the resolution, rounded down.
  const std::vector<Case> cases = {
      {RasterType::srgb_8, {300, 300}, Sheet::a4, 2480, 3507, 24, 3, 19, "iso_a4_210x297mm"},
      {RasterType::sgray_8, {300, 300}, Sheet::letter, 2550, 3300, 8, 1, 18, "na_letter_8.5x11in"},
      {RasterType::srgb_8, {600, 300}, Sheet::letter, 5100, 3300, 24, 3, 19, "na_letter_8.5x11in"},
      {RasterType::sgray_8, {75, 75}, Sheet::a4, 620, 876, 8, 1, 18, "iso_a4_210x297mm"}};
  for (const auto& c : cases) {
    const auto document = page_of(content(), raster(c.type, c.resolution), c.sheet);
    CHECK(document.starts_with("RaS2"));
    const auto got = read(document);
    REQUIRE(got.headers.size() == 1);
    CHECK(got.whole);
    CHECK(got.rows.size() == c.height);
    const auto& header = got.headers[0];
    CHECK(std::string(header.MediaClass) == "PwgRaster");
    CHECK(header.HWResolution[0] == c.resolution.across);
    CHECK(header.HWResolution[1] == c.resolution.along);
    CHECK(header.cupsWidth == c.width);
    CHECK(header.cupsHeight == c.height);
    CHECK(header.cupsBitsPerColor == 8);
    CHECK(header.cupsBitsPerPixel == c.bits);
    CHECK(header.cupsBytesPerLine == c.width * c.colours);
    CHECK(header.cupsNumColors == c.colours);
    CHECK(static_cast<unsigned>(header.cupsColorSpace) == c.space);
    CHECK(header.cupsColorOrder == CUPS_ORDER_CHUNKED);
    CHECK(header.Duplex == CUPS_FALSE);
    CHECK(header.cupsInteger[CUPS_RASTER_PWG_TotalPageCount] == 1);
    CHECK(std::string(header.cupsPageSizeName) == c.name);
  }
}

TEST_CASE("a page of 300 dpi is compressed to less than a megabyte, and the largest page stays within the bound") {
  CHECK(page_of(content(), raster(RasterType::srgb_8, {300, 300})).size() < (std::size_t{1} << 20));
  CHECK(page_of(content(), raster(RasterType::srgb_8, {1200, 1200}), Sheet::letter).size() <= kMostOctets);
}

TEST_CASE("a page that is drawn in bands shows no seam: rows do not depend on where a band begins") {
  // The grey frame and the vertical lines cross the borders of the bands at 300 dpi (every 256 rows).
  const auto got = read(page_of(content(), raster(RasterType::sgray_8, {300, 300})));
  REQUIRE(got.rows.size() == 3507);
  const auto dark_in_row = [&](std::size_t row) {
    return std::count_if(got.rows[row].begin(), got.rows[row].end(), [](unsigned char grey) { return grey < 128; });
  };
  // Within the colour bars all rows are alike; they are 80 pt high.
  std::size_t longest = 0;
  std::size_t alike = 1;
  for (std::size_t row = 1; row < got.rows.size(); ++row) {
    alike = dark_in_row(row) > 600 && got.rows[row] == got.rows[row - 1] ? alike + 1 : 1;
    longest = std::max(longest, alike);
  }
  CHECK(longest >= 80 * 300 / 72 - 2);
}

}  // namespace frisket::testpage
