#include <algorithm>
#include <cstdlib>
#include <optional>

#include "daemon/testpage/page.h"
#include "probes/model/ascii.h"
#include "probes/model/text.h"

namespace frisket::testpage {
namespace {

constexpr std::uint32_t kWantedDpi = 300;
constexpr std::uint32_t kLeastDpi = 75;
constexpr std::uint32_t kMostDpi = 1200;
constexpr std::size_t kMostNamed = 5;

// "application/pdf" of "Application/PDF; version=1.7".
std::string bare(std::string_view media_type) {
  auto type = media_type.substr(0, media_type.find(';'));
  type = type.substr(0, type.find_last_not_of(" \t") + 1);
  return model::in_lower_case(type);
}

bool lists(const std::vector<std::string>& values, std::string_view wanted) {
  return std::ranges::any_of(values, [&](const auto& value) { return bare(value) == wanted; });
}

std::uint32_t distance(Resolution resolution) {
  const auto off = [](std::uint32_t dpi) { return dpi > kWantedDpi ? dpi - kWantedDpi : kWantedDpi - dpi; };
  return off(resolution.across) + off(resolution.along);
}

std::optional<Resolution> best_of(const std::vector<Resolution>& offered) {
  std::optional<Resolution> best;
  for (const auto& each : offered)
    if (is_drawable(each) && (!best || distance(each) < distance(*best))) best = each;
  return best;
}

// What the printer says, for a person; it is device text.
std::string named(const std::vector<std::string>& values) {
  if (values.empty()) return "nothing";
  std::string text;
  for (std::size_t i = 0; i < std::min(values.size(), kMostNamed); ++i)
    text += (i == 0 ? "" : ", ") + model::decode_text(values[i], model::Charset::utf8, 60);
  if (values.size() > kMostNamed) text += " and " + std::to_string(values.size() - kMostNamed) + " more";
  return text;
}

model::Error no_format(std::string what) {
  return {model::Error::Kind::invalid, "choosing a format for the test page", "", std::move(what)};
}

}  // namespace

bool is_drawable(Resolution resolution) {
  const auto fits = [](std::uint32_t dpi) { return dpi >= kLeastDpi && dpi <= kMostDpi; };
  return fits(resolution.across) && fits(resolution.along);
}

std::string_view media_type(PageFormat::Kind kind) {
  switch (kind) {
    case PageFormat::Kind::pdf:
      return "application/pdf";
    case PageFormat::Kind::pwg_raster:
      return "image/pwg-raster";
    case PageFormat::Kind::plain_text:
      return "text/plain";
  }
  return "application/octet-stream";
}

std::string_view media_name(Sheet sheet) { return sheet == Sheet::letter ? "na_letter_8.5x11in" : "iso_a4_210x297mm"; }

Sheet sheet_of(std::string_view media_name) {
  const bool letter = media_name == "na_letter" || media_name.starts_with("na_letter_");
  return letter ? Sheet::letter : Sheet::a4;
}

model::Result<PageFormat> choose_format(const Offered& offered) {
  if (lists(offered.document_formats, "application/pdf")) return PageFormat{};
  if (!lists(offered.document_formats, "image/pwg-raster"))
    return no_format("the printer takes neither application/pdf nor image/pwg-raster; it names " +
                     named(offered.document_formats));
  PageFormat format{PageFormat::Kind::pwg_raster, RasterType::srgb_8, {}};
  if (!lists(offered.raster_types, "srgb_8")) {
    if (!lists(offered.raster_types, "sgray_8"))
      return no_format("the printer takes PWG raster neither as srgb_8 nor as sgray_8; it names " +
                       named(offered.raster_types));
    format.type = RasterType::sgray_8;
  }
  const auto resolution = best_of(offered.raster_resolutions);
  if (!resolution) return no_format("the printer names no PWG raster resolution from 75 to 1200 dpi");
  format.resolution = *resolution;
  return format;
}

}  // namespace frisket::testpage
