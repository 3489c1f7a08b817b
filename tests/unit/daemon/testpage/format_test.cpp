#include <catch2/catch.hpp>

#include "daemon/testpage/page.h"

namespace frisket::testpage {
namespace {

using Kind = PageFormat::Kind;

Offered raster_only(std::vector<std::string> types, std::vector<Resolution> resolutions) {
  return {{"application/octet-stream", "image/urf", "image/pwg-raster"}, std::move(types), std::move(resolutions)};
}

std::string refusal(const Offered& offered) {
  const auto format = choose_format(offered);
  REQUIRE_FALSE(format);
  CHECK(format.error().kind == model::Error::Kind::invalid);
  return format.error().text();
}

}  // namespace

TEST_CASE("PDF is taken before PWG raster, however the list is ordered and written") {
  for (const auto* pdf : {"application/pdf", "Application/PDF", "application/pdf; version=1.7", "application/pdf "}) {
    const auto format = choose_format({{"image/pwg-raster", pdf}, {"srgb_8"}, {{300, 300}}});
    REQUIRE(format);
    CHECK(format->kind == Kind::pdf);
  }
}

TEST_CASE("a raster is in colour where the printer takes colour, else grey") {
  CHECK(choose_format(raster_only({"black_1", "sgray_8", "srgb_8"}, {{300, 300}}))->type == RasterType::srgb_8);
  const auto grey = choose_format(raster_only({"black_1", "sgray_8"}, {{300, 300}}));
  REQUIRE(grey);
  CHECK(*grey == PageFormat{Kind::pwg_raster, RasterType::sgray_8, {300, 300}});
}

TEST_CASE("of the resolutions offered the one nearest to 300 dpi that can be drawn is taken") {
  const auto chosen = [](std::vector<Resolution> offered) {
    const auto format = choose_format(raster_only({"srgb_8"}, std::move(offered)));
    REQUIRE(format);
    return format->resolution;
  };
  CHECK(chosen({{600, 600}, {300, 300}, {150, 150}}) == Resolution{300, 300});
  CHECK(chosen({{1200, 1200}, {600, 600}}) == Resolution{600, 600});
  CHECK(chosen({{180, 180}, {360, 360}}) == Resolution{360, 360});
  CHECK(chosen({{600, 300}}) == Resolution{600, 300});
  CHECK(chosen({{0, 300}, {4000000000, 300}, {1200, 1200}}) == Resolution{1200, 1200});
}

TEST_CASE("what cannot be printed on says what it takes instead, bounded and tidied") {
  CHECK(refusal({}) ==
        "choosing a format for the test page: the printer takes neither application/pdf nor "
        "image/pwg-raster; it names nothing");
  CHECK(refusal({{"image/urf", "application/postscript"}, {}, {}})
            .ends_with("it names image/urf, application/postscript"));
  CHECK(refusal(raster_only({"black_1", "cmyk_8"}, {{300, 300}})).ends_with("it names black_1, cmyk_8"));
  CHECK(refusal(raster_only({}, {{300, 300}})).ends_with("it names nothing"));
  CHECK(refusal(raster_only({"srgb_8"}, {})).ends_with("names no PWG raster resolution from 75 to 1200 dpi"));
  CHECK(refusal(raster_only({"srgb_8"}, {{2400, 2400}})).ends_with("from 75 to 1200 dpi"));
  const auto hostile = refusal({std::vector<std::string>(5000, "\x1b[2Ja\r\n" + std::string(9000, 'b')), {}, {}});
  CHECK(hostile.size() < 600);
  CHECK(hostile.find('\x1b') == std::string::npos);
  CHECK(hostile.ends_with("and 4995 more"));
}

TEST_CASE("plain text is never chosen") {
  CHECK_FALSE(choose_format({{"text/plain", "text/plain; charset=utf-8"}, {}, {}}));
}

// The media types: RFC 8118 (application/pdf), PWG 5102.4 section 1 (image/pwg-raster), RFC 2046 (text/plain). The
// names of media: PWG 5101.1.
TEST_CASE("formats and sheets have the names that IPP uses") {
  CHECK(media_type(Kind::pdf) == "application/pdf");
  CHECK(media_type(Kind::pwg_raster) == "image/pwg-raster");
  CHECK(media_type(Kind::plain_text) == "text/plain");
  CHECK(media_name(Sheet::a4) == "iso_a4_210x297mm");
  CHECK(media_name(Sheet::letter) == "na_letter_8.5x11in");
  CHECK(sheet_of("na_letter_8.5x11in") == Sheet::letter);
  CHECK(sheet_of("iso_a4_210x297mm") == Sheet::a4);
  CHECK(sheet_of("na_legal_8.5x14in") == Sheet::a4);
  CHECK(sheet_of("") == Sheet::a4);
}

}  // namespace frisket::testpage
