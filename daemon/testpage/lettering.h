// Text on a canvas: only what the font has, only as wide as there is room. Inside of this folder only.
#pragma once

#include <cairo.h>

#include <string_view>

namespace frisket::testpage {

enum class Weight { normal, bold };

// Sizes and places in points; (x, y) is the left end of the base line. `text` is valid UTF-8. What the font does not
// have is '?'; what is wider than `room` is cut, with three dots at the end.
void letter(cairo_t* canvas, double x, double y, double size, Weight weight, std::string_view text, double room);

// Several lines, broken at spaces; returns the base line of the last one.
double letter_lines(cairo_t* canvas, double x, double y, double size, std::string_view text, double room);

}  // namespace frisket::testpage
