// PWG raster: the drawing, a band of rows at a time, through libcups' writer.
#include <cups/cups.h>
#include <cups/raster.h>

#include <algorithm>
#include <cstring>
#include <memory>
#include <vector>

#include "daemon/testpage/cairo_handles.h"
#include "daemon/testpage/documents.h"

namespace frisket::testpage {
namespace {

constexpr int kBandRows = 256;  // a megabyte and a half at 300 dpi

struct CloseRaster {
  void operator()(cups_raster_t* raster) const { cupsRasterClose(raster); }
};
using Raster = std::unique_ptr<cups_raster_t, CloseRaster>;

ssize_t append(void* document, unsigned char* octets, std::size_t length) {
  static_cast<std::string*>(document)->append(reinterpret_cast<const char*>(octets), length);
  return static_cast<ssize_t>(length);
}

bool make_header(cups_page_header2_t& header, Sheet sheet, RasterType type, Resolution resolution) {
  auto* media = pwgMediaForPWG(std::string(media_name(sheet)).c_str());
  const char* type_name = type == RasterType::srgb_8 ? "srgb_8" : "sgray_8";
  if (media == nullptr || cupsRasterInitPWGHeader(&header, media, type_name, static_cast<int>(resolution.across),
                                                  static_cast<int>(resolution.along), "one-sided", nullptr) == 0)
    return false;
  header.cupsInteger[CUPS_RASTER_PWG_TotalPageCount] = 1;
  // Reserved in PWG raster, and therefore 0 (PWG 5102.4 section 4.3); the library fills them in as for its own format.
  std::ranges::fill(header.ImagingBoundingBox, 0U);
  return true;
}

// One band of the page: white paper, and what of the drawing falls into it.
model::Result<Surface> band(const cups_page_header2_t& header, int first_row, Size sheet, const PageContent& content) {
  const int width = static_cast<int>(header.cupsWidth);
  const int rows = std::min(kBandRows, static_cast<int>(header.cupsHeight) - first_row);
  Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, rows));
  const Canvas canvas(cairo_create(surface.get()));
  cairo_set_source_rgb(canvas.get(), 1, 1, 1);
  cairo_paint(canvas.get());
  cairo_translate(canvas.get(), 0, -first_row);
  cairo_scale(canvas.get(), header.HWResolution[0] / 72.0, header.HWResolution[1] / 72.0);
  draw(canvas.get(), sheet, content);
  if (const auto status = cairo_status(canvas.get())) return drawing_failed(cairo_status_to_string(status));
  cairo_surface_flush(surface.get());
  return surface;
}

// A pixel's brightness for the eye: the weights of sRGB's primaries (ITU-R BT.709), here applied to the values as they
// are stored, so that grey stays the same grey.
unsigned char grey_of(unsigned red, unsigned green, unsigned blue) {
  return static_cast<unsigned char>((2126 * red + 7152 * green + 722 * blue + 5000) / 10000);
}

void convert(const unsigned char* row, RasterType type, std::vector<unsigned char>& line) {
  const std::size_t channels = type == RasterType::srgb_8 ? 3 : 1;
  for (std::size_t x = 0; x < line.size() / channels; ++x) {
    std::uint32_t pixel = 0;
    std::memcpy(&pixel, row + 4 * x, sizeof pixel);
    const unsigned red = (pixel >> 16) & 0xFF;
    const unsigned green = (pixel >> 8) & 0xFF;
    const unsigned blue = pixel & 0xFF;
    if (channels == 1) {
      line[x] = grey_of(red, green, blue);
    } else {
      line[3 * x] = static_cast<unsigned char>(red);
      line[3 * x + 1] = static_cast<unsigned char>(green);
      line[3 * x + 2] = static_cast<unsigned char>(blue);
    }
  }
}

}  // namespace

model::Result<std::string> as_raster(const PageContent& content, Sheet sheet, RasterType type, Resolution resolution) {
  cups_page_header2_t header{};
  if (!make_header(header, sheet, type, resolution)) return drawing_failed("no such raster");
  std::string document;
  const Raster raster(cupsRasterOpenIO(append, &document, CUPS_RASTER_WRITE_PWG));
  if (!raster || cupsRasterWriteHeader2(raster.get(), &header) == 0) return drawing_failed("the raster has no header");

  std::vector<unsigned char> line(header.cupsBytesPerLine);
  const int height = static_cast<int>(header.cupsHeight);
  for (int first = 0; first < height; first += kBandRows) {
    auto drawn = band(header, first, size_of(sheet), content);
    if (!drawn) return drawn.error();
    auto* surface = drawn->get();
    for (int row = 0; row < cairo_image_surface_get_height(surface); ++row) {
      convert(cairo_image_surface_get_data(surface) + std::ptrdiff_t{row} * cairo_image_surface_get_stride(surface),
              type, line);
      if (cupsRasterWritePixels(raster.get(), line.data(), header.cupsBytesPerLine) == 0)
        return drawing_failed("a row of the raster was not taken");
      if (document.size() > kMostOctets) return drawing_failed("the document became too long");
    }
  }
  return document;
}

}  // namespace frisket::testpage
