#include <algorithm>

#include "daemon/testpage/documents.h"
#include "daemon/testpage/words.h"

namespace frisket::testpage {
namespace {

constexpr std::size_t kColumns = 76;  // 80 stand on a line of A4 or Letter at 10 characters an inch
constexpr std::size_t kPatternLines = 32;
constexpr char kFirst = '!';
constexpr char kLast = '~';

// A printer on a raw port has no charset that one could know, so ASCII it is. What cannot be shown is one '?' for each
// character, not for each octet.
std::string in_ascii(std::string_view utf8) {
  std::string out;
  for (const char c : utf8) {
    const auto octet = static_cast<unsigned char>(c);
    if (octet >= 0x80 && octet < 0xC0) continue;  // within a character
    out += octet >= 0x20 && octet < 0x7F ? c : '?';
  }
  return out;
}

std::string cut(std::string text) {
  if (text.size() > kColumns) text = text.substr(0, kColumns - 3) + "...";
  return text;
}

// All printable characters, each line one further than the last: what is missing shows as a slanting gap.
std::string pattern_line(std::size_t number) {
  constexpr std::size_t kCharacters = kLast - kFirst + 1;
  std::string line;
  for (std::size_t column = 0; column < kColumns; ++column)
    line += static_cast<char>(kFirst + static_cast<char>((number + column) % kCharacters));
  return line;
}

}  // namespace

// The first octets are always our own: a device's name cannot pass for the beginning of another language.
std::string as_plain_text(const PageContent& content) {
  constexpr std::string_view kEnd = "\r\n";
  std::string text = std::string(kTitle) + std::string(kEnd) + std::string(kEnd);
  for (const auto& [label, value] : details(content)) {
    const std::string name = label + ":" + std::string(10 - std::min<std::size_t>(label.size(), 9), ' ');
    text += cut(name + in_ascii(value)) + std::string(kEnd);
  }
  text += std::string(kEnd) + cut(std::string(kLookForInText)) + std::string(kEnd) + std::string(kEnd);
  for (std::size_t number = 0; number < kPatternLines; ++number) text += pattern_line(number) + std::string(kEnd);
  return text + "\f";
}

}  // namespace frisket::testpage
