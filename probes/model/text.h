// Device bytes become bounded, valid UTF-8 here, and nowhere else.
//
// What devices send is hostile: any length, any octet. A probe passes every string
// through decode_text() once, at the edge; after that a std::string in the model is
// valid UTF-8, at most its bound long, one line, free of control characters. It may
// still contain HTML or quotes: every exit escapes for itself. Pure; any thread.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace frisket::model {

// A character set by its IANA MIBenum (prtLocalizationCharacterSet, IANA-CHARSET-MIB).
// Unknown numbers are kept.
enum class Charset : std::int32_t {
  other = 1,
  unknown = 2,
  ascii = 3,
  latin1 = 4,
  utf8 = 106,
};

// The longest text kept of one device string, in bytes of UTF-8.
inline constexpr std::size_t kMaxText = 255;

// Converts octets in `charset` to UTF-8.
// - Valid UTF-8 with at least one multi-byte character is taken as UTF-8 whatever the
//   device declares, since many declare ASCII and send UTF-8 (common practice, no source).
// - A last character that the device's own limit cut in two is left out.
// - A charset that is unknown, unsupported here, or contradicted by the octets falls back to
//   Latin-1, in which every octet means something.
// - Control characters (C0, DEL, C1, and the line and paragraph separators) become spaces,
//   bidirectional overrides are dropped, runs of space shrink to one, ends are trimmed.
// - Trailing NULs, which some agents pad with, are dropped first.
// - Cut at a character boundary to at most `limit` bytes.
std::string decode_text(std::string_view octets, Charset charset, std::size_t limit = kMaxText);

// The same for many texts: the C library's converters are looked up once for each charset (which may
// load a file), and kept as long as this lives. At most kMostConverters of them. One thread at a time.
class TextDecoder {
 public:
  static constexpr std::size_t kMostConverters = 4;

  TextDecoder();
  ~TextDecoder();
  TextDecoder(const TextDecoder&) = delete;
  TextDecoder& operator=(const TextDecoder&) = delete;

  std::string decode(std::string_view octets, Charset charset, std::size_t limit = kMaxText);

 private:
  class Converters;
  std::unique_ptr<Converters> converters_;  // made when first needed
};

// Whether the octets are well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates,
// nothing above U+10FFFF).
bool is_utf8(std::string_view octets);

}  // namespace frisket::model
