#include "probes/model/text.h"

#include <iconv.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <deque>
#include <optional>
#include <utility>

namespace frisket::model {
namespace {

// No device string that the model keeps may be longer than this on the wire: 64 KiB
// strings are cut before any conversion is tried.
constexpr std::size_t kMaxOctets = 4096;

struct CharsetName {
  std::int32_t mib_enum;
  const char* iconv_name;
};

// MIBenum (IANA-CHARSET-MIB) to the C library's name: the sets that the Printer MIB's
// languages need, and that glibc converts.
constexpr std::array kCharsets = {
    CharsetName{5, "ISO-8859-2"},    CharsetName{6, "ISO-8859-3"},    CharsetName{7, "ISO-8859-4"},
    CharsetName{8, "ISO-8859-5"},    CharsetName{9, "ISO-8859-6"},    CharsetName{10, "ISO-8859-7"},
    CharsetName{11, "ISO-8859-8"},   CharsetName{12, "ISO-8859-9"},   CharsetName{13, "ISO-8859-10"},
    CharsetName{17, "SHIFT_JIS"},    CharsetName{18, "EUC-JP"},       CharsetName{38, "EUC-KR"},
    CharsetName{39, "ISO-2022-JP"},  CharsetName{109, "ISO-8859-13"}, CharsetName{110, "ISO-8859-14"},
    CharsetName{111, "ISO-8859-15"}, CharsetName{112, "ISO-8859-16"}, CharsetName{113, "GBK"},
    CharsetName{114, "GB18030"},     CharsetName{1000, "UCS-2BE"},    CharsetName{1001, "UCS-4BE"},
    CharsetName{1013, "UTF-16BE"},   CharsetName{1014, "UTF-16LE"},   CharsetName{1015, "UTF-16"},
    CharsetName{1017, "UTF-32"},     CharsetName{2004, "HP-ROMAN8"},  CharsetName{2009, "CP850"},
    CharsetName{2010, "CP852"},      CharsetName{2011, "CP437"},      CharsetName{2024, "CP932"},
    CharsetName{2025, "GB2312"},     CharsetName{2026, "BIG5"},       CharsetName{2027, "MACINTOSH"},
    CharsetName{2084, "KOI8-R"},     CharsetName{2086, "CP866"},      CharsetName{2088, "KOI8-U"},
    CharsetName{2250, "CP1250"},     CharsetName{2251, "CP1251"},     CharsetName{2252, "CP1252"},
    CharsetName{2253, "CP1253"},     CharsetName{2254, "CP1254"},     CharsetName{2255, "CP1255"},
    CharsetName{2256, "CP1256"},     CharsetName{2257, "CP1257"},     CharsetName{2258, "CP1258"},
    CharsetName{2259, "TIS-620"},
};

// In these nothing is left to convert: what is not in them is Latin-1, or UTF-8 that has been
// recognised before.
bool needs_no_converter(Charset charset) {
  return charset == Charset::ascii || charset == Charset::latin1 || charset == Charset::utf8;
}

const char* iconv_name(Charset charset) {
  if (needs_no_converter(charset)) return nullptr;
  const auto wanted = static_cast<std::int32_t>(charset);
  const auto found = std::ranges::lower_bound(kCharsets, wanted, {}, &CharsetName::mib_enum);
  return found != kCharsets.end() && found->mib_enum == wanted ? found->iconv_name : nullptr;
}

class Converter {
 public:
  explicit Converter(const char* from) : handle_(::iconv_open("UTF-8", from)) {}
  ~Converter() {
    if (ok()) ::iconv_close(handle_);
  }
  Converter(const Converter&) = delete;
  Converter& operator=(const Converter&) = delete;

  bool ok() const { return handle_ != reinterpret_cast<iconv_t>(-1); }

  struct Converted {
    std::string text;
    bool whole = true;  // false: the last character is incomplete, and left out
  };

  // Nothing if any part of the input is not in the charset.
  std::optional<Converted> convert(std::string_view octets) {
    ::iconv(handle_, nullptr, nullptr, nullptr, nullptr);  // whatever state the last text left
    std::string out(octets.size() * 4 + 16, '\0');
    auto* from = const_cast<char*>(octets.data());
    std::size_t from_left = octets.size();
    char* to = out.data();
    std::size_t to_left = out.size();
    const bool whole = ::iconv(handle_, &from, &from_left, &to, &to_left) != static_cast<std::size_t>(-1);
    if (!whole && errno != EINVAL) return std::nullopt;
    if (::iconv(handle_, nullptr, nullptr, &to, &to_left) == static_cast<std::size_t>(-1)) return std::nullopt;
    out.resize(out.size() - to_left);
    // The C library writes UCS-4 above U+10FFFF as sequences of five and six octets.
    if (!is_utf8(out)) return std::nullopt;
    return Converted{std::move(out), whole};
  }

 private:
  iconv_t handle_;
};

std::string latin1_to_utf8(std::string_view octets) {
  std::string out;
  out.reserve(octets.size() * 2);
  for (const char octet : octets) {
    const auto value = static_cast<unsigned char>(octet);
    if (value < 0x80) {
      out += octet;
    } else {
      out += static_cast<char>(0xC0 | (value >> 6));
      out += static_cast<char>(0x80 | (value & 0x3F));
    }
  }
  return out;
}

bool has_multi_byte(std::string_view octets) {
  return std::ranges::any_of(octets, [](char octet) { return static_cast<unsigned char>(octet) >= 0x80; });
}

// Devices cut at a number of octets, wherever that falls. What is well-formed UTF-8 but for a last
// character that is incomplete is given without it; it must hold another multi-byte character,
// or it may as well be Latin-1 that ends in an accented letter. Nothing for anything else.
std::optional<std::string_view> whole_characters(std::string_view octets) {
  if (is_utf8(octets)) return octets;
  for (std::size_t cut = 1; cut <= 3 && cut < octets.size(); ++cut) {
    const auto lead = static_cast<unsigned char>(octets[octets.size() - cut]);
    if (lead >= 0x80 && lead <= 0xBF) continue;  // within a character
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC2 ? 2 : 1;
    const auto whole = octets.substr(0, octets.size() - cut);
    if (lead <= 0xF4 && length > cut && has_multi_byte(whole) && is_utf8(whole)) return whole;
    break;
  }
  return std::nullopt;
}

// One character of well-formed UTF-8.
struct Character {
  char32_t code;
  std::size_t length;
};

Character first_character(std::string_view utf8) {
  const auto at = [&](std::size_t i) { return static_cast<char32_t>(static_cast<unsigned char>(utf8[i])); };
  const char32_t lead = at(0);
  if (lead < 0x80) return {lead, 1};
  if (lead < 0xE0) return {((lead & 0x1F) << 6) | (at(1) & 0x3F), 2};
  if (lead < 0xF0) return {((lead & 0x0F) << 12) | ((at(1) & 0x3F) << 6) | (at(2) & 0x3F), 3};
  return {((lead & 0x07) << 18) | ((at(1) & 0x3F) << 12) | ((at(2) & 0x3F) << 6) | (at(3) & 0x3F), 4};
}

bool is_blank(char32_t code) {
  return code <= 0x20 || (code >= 0x7F && code <= 0xA0) || code == 0x2028 || code == 0x2029;
}

// Characters that change the direction or are invisible: they can make one text look
// like another (Unicode UAX #9 explicit formatting; byte order mark).
bool is_deceptive(char32_t code) {
  return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) || code == 0x200E || code == 0x200F ||
         code == 0x061C || code == 0xFEFF;
}

std::string tidy(std::string_view utf8, std::size_t limit) {
  std::string out;
  bool blank_pending = false;
  while (!utf8.empty()) {
    const auto [code, length] = first_character(utf8);
    const auto character = utf8.substr(0, length);
    utf8.remove_prefix(length);
    if (is_deceptive(code)) continue;
    if (is_blank(code)) {
      blank_pending = !out.empty();
      continue;
    }
    if (out.size() + length + (blank_pending ? 1 : 0) > limit) break;
    if (blank_pending) out += ' ';
    blank_pending = false;
    out += character;
  }
  return out;
}

}  // namespace

bool is_utf8(std::string_view octets) {
  std::size_t i = 0;
  const auto at = [&](std::size_t k) { return static_cast<unsigned char>(octets[k]); };
  while (i < octets.size()) {
    const unsigned lead = at(i);
    std::size_t length = 0;
    unsigned low = 0x80;
    unsigned high = 0xBF;
    if (lead < 0x80) {
      ++i;
      continue;
    }
    if (lead >= 0xC2 && lead <= 0xDF) {
      length = 2;
    } else if (lead >= 0xE0 && lead <= 0xEF) {
      length = 3;
      if (lead == 0xE0) low = 0xA0;
      if (lead == 0xED) high = 0x9F;
    } else if (lead >= 0xF0 && lead <= 0xF4) {
      length = 4;
      if (lead == 0xF0) low = 0x90;
      if (lead == 0xF4) high = 0x8F;
    } else {
      return false;
    }
    if (i + length > octets.size()) return false;
    if (at(i + 1) < low || at(i + 1) > high) return false;
    for (std::size_t k = 2; k < length; ++k)
      if (at(i + k) < 0x80 || at(i + k) > 0xBF) return false;
    i += length;
  }
  return true;
}

class TextDecoder::Converters {
 public:
  // Null for a charset that the C library lacks.
  Converter* to_utf8(const char* from) {
    for (auto& kept : kept_)
      if (kept.from == from) return kept.ok() ? &kept : nullptr;
    if (kept_.size() == kMostConverters) kept_.pop_front();
    auto& made = kept_.emplace_back(from);
    return made.ok() ? &made : nullptr;
  }

 private:
  struct Kept : Converter {
    explicit Kept(const char* name) : Converter(name), from(name) {}
    const char* from;  // out of kCharsets, so that the address says which
  };
  std::deque<Kept> kept_;
};

TextDecoder::TextDecoder() = default;
TextDecoder::~TextDecoder() = default;

std::string TextDecoder::decode(std::string_view octets, Charset charset, std::size_t limit) {
  octets = octets.substr(0, kMaxOctets);
  const char* name = iconv_name(charset);
  const bool wide =
      name != nullptr && (std::string_view(name).starts_with("UCS") || std::string_view(name).starts_with("UTF-16") ||
                          std::string_view(name).starts_with("UTF-32"));
  if (!wide) {
    const auto last = octets.find_last_not_of('\0');
    octets = last == std::string_view::npos ? std::string_view{} : octets.substr(0, last + 1);
    const bool shifts = charset == static_cast<Charset>(39);  // ISO-2022-JP writes everything in 7 bits
    if (!has_multi_byte(octets)) {
      if (!shifts) return tidy(octets, limit);
    } else if (const auto whole = whole_characters(octets)) {
      return tidy(*whole, limit);
    }
  }
  if (name != nullptr) {
    if (!converters_) converters_ = std::make_unique<Converters>();
    if (auto* converter = converters_->to_utf8(name))
      if (const auto converted = converter->convert(octets))
        if (converted->whole || wide || has_multi_byte(converted->text)) return tidy(converted->text, limit);
  }
  return tidy(latin1_to_utf8(octets), limit);
}

std::string decode_text(std::string_view octets, Charset charset, std::size_t limit) {
  return TextDecoder().decode(octets, charset, limit);
}

}  // namespace frisket::model
