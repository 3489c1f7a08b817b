// The test page as a file, for the tests that have other programs read it. Not installed.
//
//   testpage_dump pdf|srgb_8|sgray_8|text a4|letter DPI-ACROSS DPI-ALONG FILE < five lines: device, place, time,
//   incident, id
//
// The lines may hold any octets but LF.
#include <array>
#include <fstream>
#include <iostream>
#include <string>

#include "daemon/testpage/page.h"

int main(int count, char** words) {
  using namespace frisket::testpage;
  if (count != 6) return 2;
  PageContent content;
  for (auto* text : {&content.device, &content.place, &content.time, &content.incident, &content.page_id})
    std::getline(std::cin, *text);
  const std::string kind = words[1];
  PageFormat format;
  if (kind == "text") format.kind = PageFormat::Kind::plain_text;
  if (kind == "srgb_8" || kind == "sgray_8") format.kind = PageFormat::Kind::pwg_raster;
  if (kind == "sgray_8") format.type = RasterType::sgray_8;
  format.resolution = {static_cast<std::uint32_t>(std::stoul(words[3])),
                       static_cast<std::uint32_t>(std::stoul(words[4]))};
  const auto page = make_page(content, std::string(words[2]) == "letter" ? Sheet::letter : Sheet::a4, format);
  if (!page) {
    std::cerr << page.error().text() << "\n";
    return 1;
  }
  std::ofstream(words[5], std::ios::binary) << *page;
  return 0;
}
