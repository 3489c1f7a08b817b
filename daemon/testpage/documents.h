// The three ways to write a page, and the one drawing behind two of them. Inside of this folder only.
#pragma once

#include <cairo.h>

#include <string>

#include "daemon/testpage/page.h"

namespace frisket::testpage {

// In PostScript points, 1/72 inch.
struct Size {
  double width = 0;
  double height = 0;
};
Size size_of(Sheet sheet);

// Draws the page on a canvas whose unit is the point, origin at the top left of the sheet. The content is tidied.
void draw(cairo_t* canvas, Size sheet, const PageContent& content);

model::Result<std::string> as_pdf(const PageContent& content, Sheet sheet);
model::Result<std::string> as_raster(const PageContent& content, Sheet sheet, RasterType type, Resolution resolution);

// Printable ASCII, CR LF at the end of lines, a form feed at the end of all.
std::string as_plain_text(const PageContent& content);

model::Error drawing_failed(std::string what);

}  // namespace frisket::testpage
