// The drawing library's handles, each given back by itself. Inside of this folder only.
#pragma once

#include <cairo-pdf.h>
#include <cairo.h>

#include <memory>

namespace frisket::testpage {

struct GiveBack {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
  void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};

using Surface = std::unique_ptr<cairo_surface_t, GiveBack>;
using Canvas = std::unique_ptr<cairo_t, GiveBack>;
using FontOptions = std::unique_ptr<cairo_font_options_t, GiveBack>;

}  // namespace frisket::testpage
