// A test page of our own: what stands on it, and the formats it can be made in.
//
// One sheet: colour bars, grey steps, fine lines, nozzle patterns in the four colours, alignment crosses, and the words
// that tie the sheet in somebody's hand to a device, a moment and an incident. Pure: no clock, no network; the same
// content gives the same octets (on machines with the same font). Any thread, one page at a time each.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/result.h"

namespace frisket::testpage {

// UTF-8 of any origin: a device's own name may be in it. Each text is tidied and cut before it is drawn: control
// characters become spaces, what the font or the format cannot show becomes '?'.
struct PageContent {
  std::string device;    // its configured name
  std::string place;     // where it stands; may be empty
  std::string time;      // the site's local time
  std::string incident;  // may be empty: the page is for no incident
  std::string page_id;   // tells this sheet from all others
};

enum class Sheet { a4, letter };

// The name of PWG 5101.1: "iso_a4_210x297mm", "na_letter_8.5x11in". Lives for ever.
std::string_view media_name(Sheet sheet);

// Letter for any of the North American letter names, else A4.
Sheet sheet_of(std::string_view media_name);

enum class RasterType { sgray_8, srgb_8 };  // PWG 5102.4: 8 bits grey, 3 x 8 bits colour

// Dots per inch, across and along the feed.
struct Resolution {
  std::uint32_t across = 300;
  std::uint32_t along = 300;
  friend bool operator==(const Resolution&, const Resolution&) = default;
};

struct PageFormat {
  enum class Kind { pdf, pwg_raster, plain_text };

  Kind kind = Kind::pdf;
  RasterType type = RasterType::srgb_8;  // this and the next: of pwg_raster only
  Resolution resolution{};
  friend bool operator==(const PageFormat&, const PageFormat&) = default;
};

// For document-format: "application/pdf", "image/pwg-raster", "text/plain". Lives for ever.
std::string_view media_type(PageFormat::Kind kind);

// What a printer says it takes.
struct Offered {
  std::vector<std::string> document_formats;   // document-format-supported
  std::vector<std::string> raster_types;       // pwg-raster-document-type-supported
  std::vector<Resolution> raster_resolutions;  // pwg-raster-document-resolution-supported, in dots per inch
};

// PDF if it is taken, else PWG raster: in colour if it can be, in the resolution next to 300 dpi. Plain text is never
// chosen, since nobody can know what a printer makes of it: who wants it says so. Fails with Kind::invalid; the error
// says what the printer takes instead.
model::Result<PageFormat> choose_format(const Offered& offered);

// From 75 to 1200 dpi; everything else is refused.
bool is_drawable(Resolution resolution);

// No document is longer than this.
inline constexpr std::size_t kMostOctets = std::size_t{8} << 20;

// The document's octets. Blocks: 50 ms for a PDF (most of it at the first page, when the font is looked up), 0.2 s for
// a raster of 300 dpi, 3 s for one of 1200. Fails with Kind::invalid for a resolution that is not drawable, with
// Kind::local if the drawing library fails.
model::Result<std::string> make_page(const PageContent& content, Sheet sheet, const PageFormat& format);

}  // namespace frisket::testpage
