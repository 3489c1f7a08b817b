#include "daemon/testpage/lettering.h"

#include <string>
#include <utility>
#include <vector>

#if defined(__SANITIZE_ADDRESS__)
// fontconfig keeps what it has read for the process's life, in patterns that point by offsets: a leak detector cannot
// follow those. It is the same kilobyte after one page and after a thousand.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() { return "leak:libfontconfig\n"; }
#endif

namespace frisket::testpage {
namespace {

constexpr double kLeading = 1.3;  // of the size, from base line to base line

// The font that Debian's fontconfig always has (fonts-dejavu-core).
void choose_font(cairo_t* canvas, double size, Weight weight) {
  cairo_select_font_face(canvas, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                         weight == Weight::bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(canvas, size);
}

// The text's characters, each a piece of it.
std::vector<std::string> characters(std::string_view utf8) {
  std::vector<std::string> all;
  for (const char c : utf8) {
    const bool within = (static_cast<unsigned char>(c) & 0xC0) == 0x80;
    if (within && !all.empty()) {
      all.back() += c;
    } else {
      all.emplace_back(1, c);
    }
  }
  return all;
}

bool is_in_font(cairo_t* canvas, const std::string& character) {
  cairo_glyph_t* glyphs = nullptr;
  int count = 0;
  const auto status =
      cairo_scaled_font_text_to_glyphs(cairo_get_scaled_font(canvas), 0, 0, character.c_str(),
                                       static_cast<int>(character.size()), &glyphs, &count, nullptr, nullptr, nullptr);
  const bool there = status == CAIRO_STATUS_SUCCESS && count == 1 && glyphs[0].index != 0;
  cairo_glyph_free(glyphs);
  return there;
}

double width_of(cairo_t* canvas, const std::string& text) {
  cairo_text_extents_t extents{};
  cairo_text_extents(canvas, text.c_str(), &extents);
  return extents.x_advance;
}

std::string joined(const std::vector<std::string>& pieces) {
  std::string text;
  for (const auto& piece : pieces) text += piece;
  return text;
}

// What can be shown of it within the room, in the chosen font.
std::string fitted(cairo_t* canvas, std::string_view text, double room) {
  auto pieces = characters(text);
  for (auto& piece : pieces)
    if (!is_in_font(canvas, piece)) piece.assign(1, '?');
  auto whole = joined(pieces);
  if (width_of(canvas, whole) <= room) return whole;
  while (!pieces.empty() && width_of(canvas, joined(pieces) + "...") > room) pieces.pop_back();
  return joined(pieces) + "...";
}

}  // namespace

void letter(cairo_t* canvas, double x, double y, double size, Weight weight, std::string_view text, double room) {
  choose_font(canvas, size, weight);
  const auto shown = fitted(canvas, text, room);
  cairo_move_to(canvas, x, y);
  cairo_show_text(canvas, shown.c_str());
}

double letter_lines(cairo_t* canvas, double x, double y, double size, std::string_view text, double room) {
  choose_font(canvas, size, Weight::normal);
  std::string line;
  while (!text.empty()) {
    const auto end = text.find(' ');
    const std::string word(text.substr(0, end));
    text = end == std::string_view::npos ? std::string_view{} : text.substr(end + 1);
    std::string longer = line;
    if (!longer.empty()) longer += ' ';
    longer += word;
    if (!line.empty() && width_of(canvas, longer) > room) {
      letter(canvas, x, y, size, Weight::normal, line, room);
      y += size * kLeading;
      line = word;
    } else {
      line = std::move(longer);
    }
  }
  letter(canvas, x, y, size, Weight::normal, line, room);
  return y;
}

}  // namespace frisket::testpage
