// is_utf8() against RFC 3629: its examples, its grammar, and what its section 10 warns of.
#include <catch2/catch.hpp>

#include "facts.h"
#include "probes/model/text.h"

namespace frisket::model {
namespace {

// RFC 3629 section 4, read as arithmetic and not as ranges of octets: decode, then judge the
// code point. A second implementation, on purpose unlike the first.
bool well_formed(std::string_view octets) {
  while (!octets.empty()) {
    const auto lead = static_cast<unsigned char>(octets[0]);
    std::size_t length = 1;
    while (length < 8 && (lead & (0x80U >> length)) != 0) ++length;
    if ((lead & 0x80U) == 0) {
      octets.remove_prefix(1);
      continue;
    }
    if (length < 2 || length > 4 || length > octets.size()) return false;
    std::uint32_t code = lead & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) {
      const auto next = static_cast<unsigned char>(octets[i]);
      if ((next & 0xC0U) != 0x80U) return false;
      code = code << 6 | (next & 0x3FU);
    }
    constexpr std::uint32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
    if (code < kLeast[length] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return false;
    octets.remove_prefix(length);
  }
  return true;
}

// Section 7, from memory.
TEST_CASE("the examples of RFC 3629 are well formed") {
  for (const auto* hex : {"41E289A2CE912E", "ED959CEAB5ADEC96B4", "E697A5E69CACE8AA9E", "EFBBBFF0A38EB4"})
    CHECK(is_utf8(octets_of(hex)));
}

// Sections 3 and 10: overlong forms, surrogates, above U+10FFFF.
TEST_CASE("overlong forms, surrogates and numbers beyond Unicode are not") {
  for (const auto* hex : {"C080", "C1BF", "E08080", "E09FBF", "F0808080", "F08FBFBF", "EDA080", "EDBFBF", "F4908080",
                          "F5808080", "F8888080", "FE", "FF", "80", "BF", "2FC0AE2E2F", "EDA18CEDBEB4"})
    CHECK_FALSE(is_utf8(octets_of(hex)));
}

TEST_CASE(
    "all sequences of one and two octets, and all of three or four at the edges, are judged as the grammar has it") {
  std::size_t wrong = 0;
  const auto compare = [&](std::string_view octets) { wrong += is_utf8(octets) == well_formed(octets) ? 0 : 1; };
  for (int a = 0; a < 256; ++a) {
    compare(std::string{static_cast<char>(a)});
    for (int b = 0; b < 256; ++b) compare(std::string{static_cast<char>(a), static_cast<char>(b)});
  }
  const std::string edges = octets_of("007F808F909FA0BFC0C1C2DFE0E1ECEDEEEFF0F1F3F4F5FF");
  for (const char a : edges)
    for (const char b : edges)
      for (const char c : edges) {
        compare(std::string{a, b, c});
        for (const char d : edges) compare(std::string{a, b, c, d});
      }
  CHECK(wrong == 0);
}

TEST_CASE("a text cut inside a character is not well formed, cut between characters it is") {
  const std::string text = octets_of("41E289A2CE91F0A38EB42E");
  for (std::size_t length = 0; length <= text.size(); ++length)
    CHECK(is_utf8(text.substr(0, length)) == well_formed(text.substr(0, length)));
}

}  // namespace
}  // namespace frisket::model
