#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/testpage/cairo_handles.h"
#include "daemon/testpage/documents.h"
#include "daemon/testpage/lettering.h"
#include "daemon/testpage/words.h"

namespace frisket::testpage {
namespace {

// All lengths in points.
constexpr double kMargin = 36;  // half an inch: inside of what every office printer can print on
constexpr double kCross = 14;
constexpr double kSmall = 6.5;

struct Colour {
  const char* name;
  double red, green, blue;
};
constexpr std::array kBars = {Colour{"cyan", 0, 1, 1},  Colour{"magenta", 1, 0, 1}, Colour{"yellow", 1, 1, 0},
                              Colour{"black", 0, 0, 0}, Colour{"red", 1, 0, 0},     Colour{"green", 0, 1, 0},
                              Colour{"blue", 0, 0, 1}};
constexpr std::size_t kInks = 4;  // the first bars: one colour each in a printer of four

// Named after the width of the line, which the font's '.' may not hide.
constexpr std::array kLineWidths = {0.12, 0.25, 0.5, 1.0, 2.0};
constexpr std::array kLineNames = {"0.12", "0.25", "0.5", "1", "2"};

struct Area {
  double x, y, width, height;
};

void ink(cairo_t* canvas, const Colour& colour) { cairo_set_source_rgb(canvas, colour.red, colour.green, colour.blue); }
void black(cairo_t* canvas) { cairo_set_source_rgb(canvas, 0, 0, 0); }

void fill(cairo_t* canvas, const Area& area) {
  cairo_rectangle(canvas, area.x, area.y, area.width, area.height);
  cairo_fill(canvas);
}

void line(cairo_t* canvas, double from_x, double from_y, double to_x, double to_y, double width) {
  cairo_set_line_width(canvas, width);
  cairo_move_to(canvas, from_x, from_y);
  cairo_line_to(canvas, to_x, to_y);
  cairo_stroke(canvas);
}

// Two thin lines and a circle, by which a shift between the colours or the passes shows.
void cross(cairo_t* canvas, double x, double y) {
  black(canvas);
  line(canvas, x - kCross / 2, y, x + kCross / 2, y, 0.3);
  line(canvas, x, y - kCross / 2, x, y + kCross / 2, 0.3);
  cairo_arc(canvas, x, y, kCross / 4, 0, 2 * M_PI);
  cairo_stroke(canvas);
}

// Where the corners of a rectangle of known size must be on the paper, and the middle of its sides.
void draw_crosses(cairo_t* canvas, Size sheet) {
  const std::array across = {kMargin + kCross / 2, sheet.width / 2, sheet.width - kMargin - kCross / 2};
  const std::array along = {kMargin + kCross / 2, sheet.height / 2, sheet.height - kMargin - kCross / 2};
  for (const double x : across)
    for (const double y : along)
      if (x != across[1] || y != along[1]) cross(canvas, x, y);
}

double draw_heading(cairo_t* canvas, const Area& area, const PageContent& content) {
  constexpr double kLabelWidth = 62;
  black(canvas);
  double y = area.y + 16;
  letter(canvas, area.x, y, 16, Weight::bold, kTitle, area.width / 2 - kCross);
  y += 8;
  for (const auto& [label, text] : details(content)) {
    y += 15;
    letter(canvas, area.x, y, 10, Weight::bold, label, kLabelWidth);
    letter(canvas, area.x + kLabelWidth, y, 10, Weight::normal, text, area.width - kLabelWidth);
  }
  return letter_lines(canvas, area.x, y + 22, 9, kLookForInColour, area.width);
}

void draw_bars(cairo_t* canvas, const Area& area) {
  const double width = area.width / kBars.size();
  for (std::size_t i = 0; i < kBars.size(); ++i) {
    const double x = area.x + width * static_cast<double>(i);
    ink(canvas, kBars[i]);
    fill(canvas, {x, area.y, width, area.height});
    black(canvas);
    letter(canvas, x + 1, area.y + area.height + 8, kSmall, Weight::normal, kBars[i].name, width);
  }
}

// From black to white in tenths; a frame shows where white ends.
void draw_greys(cairo_t* canvas, const Area& area) {
  constexpr int kSteps = 10;
  const double width = area.width / (kSteps + 1);
  for (int step = 0; step <= kSteps; ++step) {
    const double grey = static_cast<double>(step) / kSteps;
    const double x = area.x + width * step;
    cairo_set_source_rgb(canvas, grey, grey, grey);
    fill(canvas, {x, area.y, width, area.height});
    black(canvas);
    const auto percent = std::to_string(100 - 10 * step) + " %";
    letter(canvas, x + 1, area.y + area.height + 8, kSmall, Weight::normal, percent, width);
  }
  cairo_set_line_width(canvas, 0.5);
  cairo_rectangle(canvas, area.x, area.y, area.width, area.height);
  cairo_stroke(canvas);
}

// Horizontal, vertical, diagonal, each in every width, two of a kind.
void draw_lines(cairo_t* canvas, const Area& area) {
  black(canvas);
  constexpr double kGap = 5;
  const double block = (area.width - 40) / 3;
  const double pitch = area.height / kLineWidths.size();
  for (std::size_t i = 0; i < kLineWidths.size(); ++i) {
    const double at = pitch * (static_cast<double>(i) + 0.5);
    letter(canvas, area.x, area.y + at + 2, kSmall, Weight::normal, std::string(kLineNames[i]) + " pt", 36);
    for (const double shift : {-kGap / 2, kGap / 2}) {
      const double y = area.y + at + shift;
      line(canvas, area.x + 36, y, area.x + 30 + block, y, kLineWidths[i]);
      const double across = block / kLineWidths.size();
      const double x = area.x + 40 + block + across * (static_cast<double>(i) + 0.5) + shift;
      line(canvas, x, area.y, x, area.y + area.height, kLineWidths[i]);
      const double slanted = area.x + 40 + 2 * block + across * static_cast<double>(i) + kGap + shift;
      line(canvas, slanted, area.y + area.height, slanted + 0.7 * across, area.y, kLineWidths[i]);
    }
  }
}

// Short lines, each one step lower than its neighbour: together they reach every row of the head, and a nozzle
// that is blocked leaves a gap that one can name.
void draw_nozzles(cairo_t* canvas, const Area& area, const Colour& colour) {
  constexpr int kColumns = 10;
  constexpr int kFlights = 5;
  constexpr double kStep = 2;
  const double width = area.width / kColumns;
  const double flight = area.height / kFlights;
  ink(canvas, colour);
  for (int down = 0; down < kFlights; ++down)
    for (int column = 0; column < kColumns; ++column) {
      const double x = area.x + width * column;
      const double y = area.y + flight * down + kStep * column + 1;
      line(canvas, x, y, x + width, y, 0.5);
    }
  black(canvas);
  letter(canvas, area.x, area.y + area.height + 8, kSmall, Weight::normal, colour.name, area.width);
}

}  // namespace

Size size_of(Sheet sheet) {
  // ISO 216 in millimetres, and inches, as points.
  if (sheet == Sheet::letter) return {8.5 * 72, 11 * 72.0};
  return {210 / 25.4 * 72, 297 / 25.4 * 72};
}

void draw(cairo_t* canvas, Size sheet, const PageContent& content) {
  // The same letters at the same places whatever the canvas is made of.
  const FontOptions options(cairo_font_options_create());
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
  cairo_set_font_options(canvas, options.get());

  constexpr double kInset = kMargin + kCross + 6;
  const double width = sheet.width - 2 * kInset;
  draw_crosses(canvas, sheet);
  double y = draw_heading(canvas, {kInset, kMargin, width, 0}, content) + 16;
  draw_bars(canvas, {kInset, y, width, 80});
  y += 100;
  draw_greys(canvas, {kInset, y, width, 40});
  y += 66;
  draw_lines(canvas, {kInset, y, width, 100});
  y += 120;
  constexpr double kBetween = 12;
  const double each = (width - kBetween * (kInks - 1)) / kInks;
  for (std::size_t i = 0; i < kInks; ++i)
    draw_nozzles(canvas, {kInset + (each + kBetween) * static_cast<double>(i), y, each, 130}, kBars[i]);
}

}  // namespace frisket::testpage
