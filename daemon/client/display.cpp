#include "daemon/client/display.h"

#include <clocale>
#include <cwchar>

#include "probes/model/text.h"

namespace frisket::client {
namespace {

// decode_text() looks at no more octets than this.
constexpr std::size_t kMaxLine = 4096;

// Switches this thread to the C library's own UTF-8 locale, so that neither LANG nor a
// missing locale package changes how a table is laid out.
class Utf8Scope {
 public:
  Utf8Scope() {
    static const locale_t utf8 = ::newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr);
    if (utf8 != nullptr) before_ = ::uselocale(utf8);
  }
  ~Utf8Scope() {
    if (before_ != nullptr) ::uselocale(before_);
  }
  Utf8Scope(const Utf8Scope&) = delete;
  Utf8Scope& operator=(const Utf8Scope&) = delete;

 private:
  locale_t before_ = nullptr;
};

struct Character {
  std::string_view bytes;
  std::size_t width = 0;
};

// Takes the first character off a text that is not empty. Needs a Utf8Scope. An octet that
// is no character counts as one column, as terminals draw it.
Character take_character(std::string_view& text) {
  wchar_t wide = 0;
  std::mbstate_t state{};
  const std::size_t length = std::mbrtowc(&wide, text.data(), text.size(), &state);
  Character taken{text.substr(0, 1), 1};
  if (length != 0 && length <= text.size()) {
    const int width = ::wcwidth(wide);
    taken = {text.substr(0, length), width > 0 ? static_cast<std::size_t>(width) : 0};
  }
  text.remove_prefix(taken.bytes.size());
  return taken;
}

std::size_t measured(std::string_view text) {
  std::size_t sum = 0;
  while (!text.empty()) sum += take_character(text).width;
  return sum;
}

// The beginning of the text that takes at most `width` columns, and what it takes.
Character beginning(std::string_view text, std::size_t width) {
  Character kept;
  std::string_view rest = text;
  while (!rest.empty()) {
    const Character next = take_character(rest);
    if (kept.width + next.width > width) break;
    kept.width += next.width;
    kept.bytes = text.substr(0, text.size() - rest.size());
  }
  return kept;
}

const char* sgr(Tone tone) {
  switch (tone) {
    case Tone::heading:
      return "\x1b[1m";
    case Tone::critical:
      return "\x1b[1;31m";
    case Tone::major:
      return "\x1b[31m";
    case Tone::minor:
      return "\x1b[33m";
    case Tone::warning:
      return "\x1b[36m";
    case Tone::plain:
      break;
  }
  return "";
}

}  // namespace

std::string_view cut_to_bytes(std::string_view text, std::size_t limit) {
  if (text.size() <= limit) return text;
  while (limit > 0 && (static_cast<unsigned char>(text[limit]) & 0xC0U) == 0x80U) --limit;
  return text.substr(0, limit);
}

std::string inert(std::string_view text) {
  return model::decode_text(cut_to_bytes(text, kMaxLine), model::Charset::utf8, kMaxLine);
}

std::string inert_json(std::string_view json) {
  std::string out;
  out.reserve(json.size());
  const auto octet = [&](std::size_t at) { return at < json.size() ? static_cast<unsigned char>(json[at]) : 0U; };
  constexpr char kHex[] = "0123456789abcdef";
  const auto escape = [&](unsigned code) {
    out += "\\u";
    for (const unsigned shift : {12U, 8U, 4U, 0U}) out += kHex[(code >> shift) & 0xFU];
  };
  for (std::size_t i = 0; i < json.size();) {
    const unsigned code3 = ((octet(i) & 0x0FU) << 12U) | ((octet(i + 1) & 0x3FU) << 6U) | (octet(i + 2) & 0x3FU);
    if (octet(i) == 0x7F) {  // DEL
      escape(0x7F);
      i += 1;
    } else if (octet(i) == 0xC2 && octet(i + 1) >= 0x80 && octet(i + 1) < 0xA0) {  // C1
      escape(octet(i + 1));
      i += 2;
    } else if (octet(i) == 0xE2 && ((code3 >= 0x2028 && code3 <= 0x202E) || (code3 >= 0x2066 && code3 <= 0x2069) ||
                                    code3 == 0x200E || code3 == 0x200F)) {  // separators, direction overrides
      escape(code3);
      i += 3;
    } else {
      out += json[i];
      i += 1;
    }
  }
  return out;
}

std::size_t columns(std::string_view text) {
  const Utf8Scope utf8;
  return measured(text);
}

std::string fitted(std::string_view text, std::size_t width) {
  const Utf8Scope utf8;
  const std::size_t natural = measured(text);
  std::string out;
  std::size_t used = natural;
  if (natural <= width) {
    out = text;
  } else {
    const Character kept = beginning(text, width > 0 ? width - 1 : 0);
    out = kept.bytes;
    used = kept.width;
    if (width > 0) {
      out += "…";
      used += 1;
    }
  }
  if (used < width) out.append(width - used, ' ');
  return out;
}

std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
  const Utf8Scope utf8;
  std::vector<std::string> lines;
  std::string line;
  std::size_t used = 0;
  const auto end_line = [&] {
    lines.push_back(line);
    line.clear();
    used = 0;
  };
  while (!text.empty()) {
    const std::size_t space = text.find(' ');
    std::string_view word = text.substr(0, space);
    text.remove_prefix(space == std::string_view::npos ? text.size() : space + 1);
    if (word.empty()) continue;
    const std::size_t needed = measured(word);
    if (used > 0 && used + 1 + needed > width) end_line();
    if (used > 0) {
      line += ' ';
      used += 1;
    }
    while (!word.empty()) {
      Character part = beginning(word, width - used);
      if (part.bytes.empty()) {  // a wide character in a very narrow place
        std::string_view rest = word;
        part = take_character(rest);
      }
      line += part.bytes;
      used += part.width;
      word.remove_prefix(part.bytes.size());
      if (!word.empty()) end_line();
    }
  }
  if (!line.empty() || lines.empty()) lines.push_back(line);
  return lines;
}

std::string toned(std::string_view text, Tone tone, bool colour) {
  if (!colour || tone == Tone::plain) return std::string(text);
  return std::string(sgr(tone)) + std::string(text) + "\x1b[0m";
}

}  // namespace frisket::client
