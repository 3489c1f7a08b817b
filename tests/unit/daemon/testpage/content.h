// What stands on the pages of these tests.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "daemon/testpage/page.h"

namespace frisket::testpage::testing {

inline PageContent content() {
  return {"herbarium-copier", "Fern house, 1st floor", "2026-11-26 09:30", "FR-0042", "T7K2"};
}

inline std::string page_of(const PageContent& content, const PageFormat& format, Sheet sheet = Sheet::a4) {
  const auto page = make_page(content, sheet, format);
  REQUIRE(page);
  return *page;
}

inline PageFormat raster(RasterType type = RasterType::srgb_8, Resolution resolution = {100, 100}) {
  return {PageFormat::Kind::pwg_raster, type, resolution};
}
inline PageFormat plain_text() { return {PageFormat::Kind::plain_text, {}, {}}; }

// Names that a device, or somebody on its panel, could give.
inline std::vector<std::string> hostile_texts() {
  using namespace std::string_literals;
  std::string all_octets;
  for (int octet = 0; octet < 256; ++octet) all_octets += static_cast<char>(octet);
  return {
      "",
      all_octets,
      "a\0b\nc\rd\x1b%-12345X@PJL JOB"s,
      "\xff\xfe\x80 not UTF-8 \xc3",
      "\xE2\x80\xAE"
      "eman tsal \xE2\x81\xA6 \xEF\xBB\xBF",  // direction overrides, a byte order mark
      ") Tj ET (\\) <</Type /Catalog>> endobj trailer %%EOF",
      "%!PS-Adobe-3.0",
      std::string(70000, 'W'),
      "\xE8\x98\xAD\xE8\x8A\xB1 \xF0\x9F\x8C\xBF \xEF\xBF\xBE",  // not in the font: ideographs, a herb, a noncharacter
      "Gew\xC3\xA4"
      "chshaus \xCE\x94 \xD0\x96",
      std::string(300, '\xCC') + "\x81"};
}

}  // namespace frisket::testpage::testing
